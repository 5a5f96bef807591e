DROP TABLE samples, holds;
COMMENT ON SCHEMA public IS 'coldrail 8';
