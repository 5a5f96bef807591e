DROP TABLE price_draft_items;
DROP TABLE price_draft;
DELETE FROM price_items WHERE basis = 'at-least';
ALTER TABLE price_items DROP CONSTRAINT price_items_basis_check;
ALTER TABLE price_items ADD CONSTRAINT price_items_basis_check
  CHECK (basis IN ('animal', 'lb-hanging', 'lb-finished', 'each'));
ALTER TABLE price_lists DROP COLUMN made_at, DROP COLUMN why;

COMMENT ON SCHEMA public IS 'coldrail 38';
