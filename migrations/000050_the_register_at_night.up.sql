-- Each walk of the whole register by the program itself, and what it met.
CREATE TABLE register_checks (
  id       uuid PRIMARY KEY,
  began_at timestamptz NOT NULL,
  ended_at timestamptz NOT NULL,
  lines    bigint NOT NULL CHECK (lines >= 0),
  wrong    text NOT NULL DEFAULT '',                -- empty: every line is as it was written
  CHECK (ended_at >= began_at)
);
CREATE INDEX register_checks_began ON register_checks (began_at DESC);

GRANT SELECT, INSERT ON register_checks TO coldrail_app;

-- Hours on the road are for whole carcasses; the text itself says what else may
-- travel. Only where nobody of the shop has written a version of their own.
WITH before AS (
  UPDATE statutes SET until = now() WHERE key = 'wi-72h' AND until IS NULL AND by_staff IS NULL RETURNING *)
INSERT INTO statutes (key, version, state, state_name, topic, covers, form, starts, count, unit, says, cites, text_date)
SELECT key, version + 1, state, state_name, topic, covers, 'whole', starts, count, unit, says, cites, text_date FROM before;

COMMENT ON SCHEMA public IS 'coldrail 50';
