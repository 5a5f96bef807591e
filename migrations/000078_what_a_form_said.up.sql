-- What a form said as it was sent, as a salted digest, so that the same form sent again
-- with other words in it is told apart from one that was merely sent twice. Kept a
-- month: nobody goes back to an older form, and what is blanked leaves no trace here.
CREATE TABLE sent_forms (
  act  uuid PRIMARY KEY,
  salt bytea NOT NULL CHECK (length(salt) = 32),
  code bytea NOT NULL CHECK (length(code) = 32),
  at   timestamptz NOT NULL
);
CREATE INDEX sent_forms_at ON sent_forms (at);

GRANT SELECT, INSERT, DELETE ON sent_forms TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 78';
