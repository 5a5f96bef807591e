DROP TABLE machine_runs, machines;
ALTER TABLE packs DROP COLUMN batch_id;
DROP TABLE batch_shares, batch_probes, batch_cures, batch_lots, batch_inputs, batches;
COMMENT ON SCHEMA public IS 'coldrail 12';
