DROP INDEX time_line_house;
ALTER TABLE devices DROP COLUMN revoked_by, DROP COLUMN pin_wait_until, DROP COLUMN pin_misses;

COMMENT ON SCHEMA public IS 'coldrail 34';
