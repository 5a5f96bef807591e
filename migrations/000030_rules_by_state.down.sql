DROP TABLE statutes;

COMMENT ON SCHEMA public IS 'coldrail 29';
