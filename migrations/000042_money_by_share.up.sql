-- The bill of a shared animal, parted among its owners. What one share owes of a
-- line is the sum of its rows: a line that is given to another share later adds two
-- rows and changes none. The empty portion is whoever brought the animal.
CREATE TABLE charge_shares (
  charge_id uuid NOT NULL REFERENCES charges,
  portion   text NOT NULL CHECK (portion IN ('', 'L', 'R', 'L1', 'L2', 'R1', 'R2')),
  cents     bigint NOT NULL,
  act       uuid NOT NULL,
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  PRIMARY KEY (charge_id, portion, act)
);
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON charge_shares FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

ALTER TABLE payments
  ADD COLUMN portion text NOT NULL DEFAULT '' CHECK (portion IN ('', 'L', 'R', 'L1', 'L2', 'R1', 'R2')),
  ADD COLUMN payer text NOT NULL DEFAULT '' CHECK (length(payer) <= 100);   -- who paid, where it was not the owner

GRANT SELECT, INSERT ON charge_shares TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 42';
