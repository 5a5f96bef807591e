-- What whoever brought it was told at the door, and which version of which rule it
-- was turned away by; null where the shop decided by itself.
ALTER TABLE refusals
  ADD COLUMN said       text NOT NULL DEFAULT '',
  ADD COLUMN statute_id uuid REFERENCES statutes;

COMMENT ON SCHEMA public IS 'coldrail 57';
