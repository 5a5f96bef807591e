DROP TABLE photos, discarded, shifts;
ALTER TABLE time_line DROP COLUMN device_at;
ALTER TABLE devices DROP COLUMN clock_ahead_ms, DROP COLUMN clock_measured_at;
COMMENT ON SCHEMA public IS 'coldrail 15';
