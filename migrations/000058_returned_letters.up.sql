-- The picture of a letter that came back undelivered: what a state wants kept with
-- its report of meat nobody fetched.
ALTER TABLE door_photos ADD COLUMN letter_id uuid REFERENCES letters;
CREATE INDEX door_photos_letter ON door_photos (letter_id) WHERE letter_id IS NOT NULL;

COMMENT ON SCHEMA public IS 'coldrail 58';
