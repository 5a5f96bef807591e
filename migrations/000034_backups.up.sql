-- One row: where the nightly copies of the records go, and at which hour of the
-- shop's clock. A copy may be locked for the holder of a key kept elsewhere.
CREATE TABLE backup_settings (
  only_row  boolean PRIMARY KEY DEFAULT true CHECK (only_row),
  directory text NOT NULL DEFAULT '',               -- empty: none are made
  hour      smallint NOT NULL DEFAULT 2 CHECK (hour BETWEEN 0 AND 23),
  recipient text NOT NULL DEFAULT '',               -- age public key; empty: not encrypted
  on_since  timestamptz,
  CHECK ((directory = '') = (on_since IS NULL))
);
INSERT INTO backup_settings DEFAULT VALUES;

-- Each copy that was begun and what became of it.
CREATE TABLE backups (
  id       uuid PRIMARY KEY,
  file     text NOT NULL,
  began_at timestamptz NOT NULL,
  ended_at timestamptz NOT NULL,
  bytes    bigint NOT NULL DEFAULT 0,
  sealed   boolean NOT NULL DEFAULT false,          -- encrypted
  thinned  integer NOT NULL DEFAULT 0,              -- old copies taken away after it
  wrong    text NOT NULL DEFAULT '',                -- empty: it is whole
  CHECK (ended_at >= began_at)
);
CREATE INDEX backups_began ON backups (began_at DESC);
CREATE INDEX backups_good ON backups (ended_at DESC) WHERE wrong = '';

GRANT SELECT, UPDATE ON backup_settings TO coldrail_app;
GRANT SELECT, INSERT ON backups TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 34';
