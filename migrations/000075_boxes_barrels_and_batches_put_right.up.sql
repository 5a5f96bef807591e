-- Packs that lie in another box than it says: a line of them is parted.
GRANT UPDATE (count, net_kg, tare_kg) ON packs TO coldrail_app;

-- What was written about a barrel by a slip stays, marked as wrong; the next line counts.
-- The reason stands with the time line.
ALTER TABLE srm_removals DROP CONSTRAINT srm_removals_animal_id_key;
ALTER TABLE srm_removals ADD COLUMN wrong_at timestamptz, ADD COLUMN wrong_by uuid REFERENCES staff,
  ADD CHECK ((wrong_at IS NULL) = (wrong_by IS NULL)), ADD CHECK (wrong_at IS NULL OR load_id IS NULL);
CREATE UNIQUE INDEX srm_removals_one ON srm_removals (animal_id) WHERE wrong_at IS NULL;
GRANT UPDATE (wrong_at, wrong_by) ON srm_removals TO coldrail_app;

-- A quarter ticked as stamped by a slip, and the shares of a batch that was not finished:
-- the time line keeps both.
GRANT DELETE ON stamps, batch_shares TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 75';
