REVOKE DELETE ON stamps, batch_shares FROM coldrail_app;
REVOKE UPDATE (wrong_at, wrong_by) ON srm_removals FROM coldrail_app;
-- Without the mark only what counts can stay.
DELETE FROM srm_removals WHERE wrong_at IS NOT NULL;
DROP INDEX srm_removals_one;
ALTER TABLE srm_removals DROP COLUMN wrong_at, DROP COLUMN wrong_by, ADD CONSTRAINT srm_removals_animal_id_key UNIQUE (animal_id);
REVOKE UPDATE (count, net_kg, tare_kg) ON packs FROM coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 74';
