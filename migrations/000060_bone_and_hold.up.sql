-- A carcass whose test is out may be boned and held, where the rules let it and the
-- lead chose it; nothing of it is pooled or leaves before the result.
ALTER TABLE holds ADD COLUMN boned_at timestamptz, ADD COLUMN boned_by uuid REFERENCES staff;
ALTER TABLE holds ADD CONSTRAINT holds_boned CHECK ((boned_at IS NULL) = (boned_by IS NULL) AND (boned_at IS NULL OR kind = 'test-pending'));

COMMENT ON SCHEMA public IS 'coldrail 60';
