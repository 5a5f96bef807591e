-- A weight typed wrong is put right by a line of its own, so that the day it was hung
-- and weighed stays what it was. A notice ticked off by a slip stays as it was written,
-- marked as wrong, and a new one stands in its place.
ALTER TABLE weigh_ins DROP CONSTRAINT weigh_ins_purpose_check;
ALTER TABLE weigh_ins ADD CONSTRAINT weigh_ins_purpose_check CHECK (purpose IN ('field-dressed', 'hanging', 'boned', 'trim', 'put-right'));
ALTER TABLE notices ADD COLUMN wrong_at timestamptz, ADD COLUMN wrong_by uuid REFERENCES staff, ADD COLUMN wrong_why text NOT NULL DEFAULT '',
  ADD CHECK ((wrong_at IS NULL) = (wrong_by IS NULL) AND (wrong_at IS NULL) = (wrong_why = '')), ADD CHECK (wrong_at IS NULL OR sent_at IS NOT NULL);

GRANT UPDATE (wrong_at, wrong_by, wrong_why) ON notices TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 72';
