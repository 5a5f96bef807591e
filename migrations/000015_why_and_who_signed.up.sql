-- A new version of how a kind hangs says why it was made.
ALTER TABLE protocols ADD COLUMN why text NOT NULL DEFAULT '';
ALTER TABLE protocols ADD CONSTRAINT a_new_version_says_why CHECK (version = 1 OR why <> '' AND made_by IS NOT NULL);

-- What was signed about how long one animal hangs: the owner's line, the lead's
-- sign-off for a longer hang and its end, the lead's signature of each week after
-- day 14. The last of each kind since the last end counts.
CREATE TABLE hang_signatures (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  kind      text NOT NULL CHECK (kind IN ('owner', 'extend', 'weekly', 'end')),
  days      double precision CHECK (days BETWEEN 1 AND 60),      -- owner, extend: up to this day since the kill
  humidity  double precision CHECK (humidity BETWEEN 20 AND 100), -- %, measured
  air_m_s   double precision CHECK (air_m_s BETWEEN 0 AND 5),     -- measured
  note      text NOT NULL CHECK (note <> ''),                    -- owner: where the signed line is kept; lead: why
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  CHECK ((kind IN ('owner', 'extend')) = (days IS NOT NULL)),
  CHECK ((humidity IS NULL) = (air_m_s IS NULL))
);
CREATE INDEX hang_signatures_animal ON hang_signatures (animal_id, at);

-- Whether the shop's own number or the table's is in use, where the owner chose.
-- The last line of each counts; without one the shop's own is used as soon as
-- enough animals stand behind it.
CREATE TABLE number_choices (
  id       uuid PRIMARY KEY,
  measure  text NOT NULL CHECK (measure IN ('yield', 'shrink', 'mould', 'minutes')),
  kind     text NOT NULL,
  own      boolean NOT NULL,
  reason   text NOT NULL CHECK (reason <> ''),
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);
CREATE INDEX number_choices_of ON number_choices (measure, kind, at);

GRANT SELECT, INSERT ON hang_signatures, number_choices TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 15';
