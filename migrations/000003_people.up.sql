-- Hunters, farmers and whoever drops off, owns, pays or collects.
CREATE TABLE people (
  id           uuid PRIMARY KEY,
  name         text NOT NULL CHECK (name <> ''),
  phone        text NOT NULL DEFAULT '',
  address      text NOT NULL DEFAULT '',
  licence      text NOT NULL DEFAULT '',
  tell_by      text NOT NULL DEFAULT 'call' CHECK (tell_by IN ('text', 'call', 'mail')),
  known_since  timestamptz NOT NULL,
  phone_digits text GENERATED ALWAYS AS (regexp_replace(phone, '[^0-9]', '', 'g')) STORED,
  last_four    text GENERATED ALWAYS AS (right(regexp_replace(phone, '[^0-9]', '', 'g'), 4)) STORED
);
-- The same phone and the same name are the same person.
CREATE UNIQUE INDEX same_person ON people (phone_digits, lower(name)) WHERE phone_digits <> '';
CREATE INDEX people_last_four ON people (last_four);
CREATE INDEX people_name ON people (lower(name) text_pattern_ops);

GRANT SELECT, INSERT, UPDATE ON people TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 3';
