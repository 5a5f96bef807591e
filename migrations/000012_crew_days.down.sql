ALTER TABLE shop DROP COLUMN crew_works;
DROP TABLE crew_days;
COMMENT ON SCHEMA public IS 'coldrail 11';
