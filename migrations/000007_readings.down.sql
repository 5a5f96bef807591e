DROP TABLE readings, imports, sensors;
DROP FUNCTION make_readings_month(timestamptz);
