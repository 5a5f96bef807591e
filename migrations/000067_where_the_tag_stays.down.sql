ALTER TABLE statutes DROP COLUMN custody;

COMMENT ON SCHEMA public IS 'coldrail 66';
