DROP TABLE readings, imports, sensors;
DROP FUNCTION count_readings();
DROP FUNCTION make_readings_month(timestamptz);
COMMENT ON SCHEMA public IS 'coldrail 6';
