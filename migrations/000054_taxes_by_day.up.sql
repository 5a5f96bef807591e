-- A tax on the lines marked taxable, from a day on; a rate of nothing ends it. A
-- later row of the same name takes its place from its own day. Rows are only added:
-- a bill says which rate it was made with.
CREATE TABLE tax_rates (
  id          uuid PRIMARY KEY,
  name        text NOT NULL CHECK (name <> ''),
  per_million integer NOT NULL CHECK (per_million BETWEEN 0 AND 300000),
  since       date NOT NULL,
  why         text NOT NULL CHECK (why <> ''),
  made_at     timestamptz NOT NULL,
  made_by     uuid NOT NULL REFERENCES staff
);

GRANT SELECT, INSERT ON tax_rates TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 54';
