DROP TABLE answers;

COMMENT ON SCHEMA public IS 'coldrail 44';
