ALTER TABLE door_photos DROP COLUMN letter_id;

COMMENT ON SCHEMA public IS 'coldrail 57';
