DROP TABLE signed, door_photos, night_counts, night_finds, refusals, intake_switches;
ALTER TABLE people DROP COLUMN call_when, DROP COLUMN second_phone;

COMMENT ON SCHEMA public IS 'coldrail 26';
