-- What the shop itself answers to the questions owners ask; a question without a
-- row, or with an empty one, has the usual answer.
CREATE TABLE answers (
  question text PRIMARY KEY CHECK (question <> ''),
  says     text NOT NULL CHECK (length(says) <= 500),
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);

GRANT SELECT, INSERT, UPDATE ON answers TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 45';
