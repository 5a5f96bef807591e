ALTER TABLE refusals DROP COLUMN statute_id, DROP COLUMN said;

COMMENT ON SCHEMA public IS 'coldrail 56';
