-- A kill entry is put right by added lines, each with its reason; the entry and every
-- line before stay as they were written. A line says all of the age and the owners.
CREATE TABLE kill_corrections (
  id            uuid PRIMARY KEY,
  animal_id     uuid NOT NULL REFERENCES kill_entries,
  n             smallint NOT NULL CHECK (n >= 1),
  thirty_months text NOT NULL CHECK (thirty_months IN ('', 'yes', 'no')),
  known_by      text NOT NULL CHECK (known_by IN ('', 'teeth', 'papers')),
  note          text NOT NULL DEFAULT '',
  why           text NOT NULL CHECK (why <> ''),
  at            timestamptz NOT NULL,
  by_staff      uuid NOT NULL REFERENCES staff,
  UNIQUE (animal_id, n),
  CHECK ((thirty_months = '') = (known_by = ''))
);
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON kill_corrections FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
ALTER TABLE shares ADD COLUMN correction_id uuid REFERENCES kill_corrections;   -- NULL: as first entered
ALTER TABLE shares DROP CONSTRAINT shares_animal_id_portion_key;
ALTER TABLE shares ADD CONSTRAINT shares_animal_id_portion_key UNIQUE NULLS NOT DISTINCT (animal_id, portion, correction_id);
GRANT SELECT, INSERT ON kill_corrections TO coldrail_app;
REVOKE UPDATE ON kill_entries, shares FROM coldrail_app;

-- Into how many shares an animal may be sold is the state's rule, too.
ALTER TABLE statutes DROP CONSTRAINT statutes_unit_check;
ALTER TABLE statutes ADD CONSTRAINT statutes_unit_check CHECK (unit IN ('', 'hours', 'business-days', 'days', 'months', 'years', 'day-of-month', 'date', 'shares'));
INSERT INTO statutes (key, state, state_name, topic, covers, species, starts, count, unit, says, cites, text_date) VALUES
  ('mn-shares-beef', 'MN', 'Minnesota', 'livestock', 'livestock', '{beef}', 'kill', 4, 'shares', 'A beef animal may be sold down to quarters, each part before the kill.', 'Minnesota Institute for Sustainable Agriculture with the Dept. of Agriculture, guide for farmers', 'date of the text not known'),
  ('mn-shares-small', 'MN', 'Minnesota', 'livestock', 'livestock', '{hog,lamb,goat}', 'kill', 2, 'shares', 'A hog, sheep or goat may be sold down to halves, each part before the kill.', 'Minnesota Institute for Sustainable Agriculture with the Dept. of Agriculture, guide for farmers', 'date of the text not known');

-- A programme takes whole cuts alone, or ground meat alone, or both.
ALTER TABLE programmes ADD COLUMN ground_only boolean NOT NULL DEFAULT false;
ALTER TABLE programmes ADD CONSTRAINT programmes_take_something CHECK (NOT (whole_cuts AND ground_only));

COMMENT ON SCHEMA public IS 'coldrail 62';
