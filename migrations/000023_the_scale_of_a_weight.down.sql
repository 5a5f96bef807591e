ALTER TABLE weigh_ins DROP COLUMN scale, DROP COLUMN read_at;

COMMENT ON SCHEMA public IS 'coldrail 22';
