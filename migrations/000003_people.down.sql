DROP TABLE people;
COMMENT ON SCHEMA public IS 'coldrail 2';
