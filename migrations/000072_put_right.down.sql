-- A corrected weight counts as one more weighing of the carcass as it hung.
UPDATE weigh_ins SET purpose = 'hanging' WHERE purpose = 'put-right';
ALTER TABLE weigh_ins DROP CONSTRAINT weigh_ins_purpose_check;
ALTER TABLE weigh_ins ADD CONSTRAINT weigh_ins_purpose_check CHECK (purpose IN ('field-dressed', 'hanging', 'boned', 'trim'));
ALTER TABLE notices DROP COLUMN wrong_at, DROP COLUMN wrong_by, DROP COLUMN wrong_why;

COMMENT ON SCHEMA public IS 'coldrail 71';
