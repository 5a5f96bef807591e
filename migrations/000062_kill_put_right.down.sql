ALTER TABLE programmes DROP COLUMN ground_only;
DELETE FROM statutes WHERE unit = 'shares';
ALTER TABLE statutes DROP CONSTRAINT statutes_unit_check;
ALTER TABLE statutes ADD CONSTRAINT statutes_unit_check CHECK (unit IN ('', 'hours', 'business-days', 'days', 'months', 'years', 'day-of-month', 'date'));
GRANT UPDATE ON kill_entries, shares TO coldrail_app;
DELETE FROM shares WHERE correction_id IS NOT NULL;
ALTER TABLE shares DROP CONSTRAINT shares_animal_id_portion_key;
ALTER TABLE shares DROP COLUMN correction_id;
ALTER TABLE shares ADD CONSTRAINT shares_animal_id_portion_key UNIQUE (animal_id, portion);
DROP TABLE kill_corrections;

COMMENT ON SCHEMA public IS 'coldrail 61';
