-- Storage of meat nobody fetches: off until the owner of the shop turns it on. Rows are
-- only added; the newest counts, and an animal that came in while it was on is charged
-- by the row of that day.
CREATE TABLE storage_rules (
  id         uuid PRIMARY KEY,
  running    boolean NOT NULL,
  after_days integer NOT NULL CHECK (after_days BETWEEN 1 AND 365),
  day_cents  bigint NOT NULL CHECK (day_cents BETWEEN 1 AND 10000),
  taxable    boolean NOT NULL,
  why        text NOT NULL CHECK (why <> ''),
  made_at    timestamptz NOT NULL,
  made_by    uuid NOT NULL REFERENCES staff
);

-- It runs for an animal only once the owner of the shop has approved it for that one,
-- by the rule named here. Turning storage off ends every approval.
CREATE TABLE storage_approvals (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  rule_id     uuid NOT NULL REFERENCES storage_rules,
  why         text NOT NULL CHECK (why <> ''),
  approved_at timestamptz NOT NULL,
  approved_by uuid NOT NULL REFERENCES staff,
  ended_at    timestamptz,
  ended_by    uuid REFERENCES staff,
  ended_why   text,
  CHECK ((ended_at IS NULL) = (ended_by IS NULL) AND (ended_at IS NULL) = (ended_why IS NULL))
);
CREATE UNIQUE INDEX storage_approved_once ON storage_approvals (animal_id) WHERE ended_at IS NULL;
CREATE INDEX storage_approvals_animal ON storage_approvals (animal_id);

GRANT SELECT, INSERT ON storage_rules, storage_approvals TO coldrail_app;
GRANT UPDATE (ended_at, ended_by, ended_why) ON storage_approvals TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 68';
