ALTER TABLE holds DROP CONSTRAINT holds_boned, DROP COLUMN boned_by, DROP COLUMN boned_at;

COMMENT ON SCHEMA public IS 'coldrail 59';
