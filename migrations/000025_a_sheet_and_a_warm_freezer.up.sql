-- The picture of a paper round's sheet stands with the pictures of looks.
ALTER TABLE photos ALTER COLUMN look_id DROP NOT NULL;
ALTER TABLE photos ADD COLUMN round_id uuid REFERENCES rounds,
  ADD CONSTRAINT photos_of_one CHECK (num_nonnulls(look_id, round_id) = 1);
CREATE INDEX photos_round ON photos (round_id) WHERE round_id IS NOT NULL;

-- A freezer that is too warm is told too.
ALTER TABLE alarms DROP CONSTRAINT alarms_kind_check;
ALTER TABLE alarms ADD CONSTRAINT alarms_kind_check CHECK (kind IN ('missed-round', 'warm-room', 'warm-freezer', 'silent-sensor', 'test'));

COMMENT ON SCHEMA public IS 'coldrail 25';
