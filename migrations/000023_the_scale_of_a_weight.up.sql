-- Which scale read a hanging weight; empty: it was typed.
ALTER TABLE weigh_ins
  ADD COLUMN scale text NOT NULL DEFAULT '',
  ADD COLUMN read_at timestamptz,
  ADD CHECK ((scale = '') = (read_at IS NULL));

COMMENT ON SCHEMA public IS 'coldrail 23';
