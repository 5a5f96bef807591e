-- One row: whom the shop's own alarms are told to, and how. The mail server's
-- password is not here: it comes from the environment.
CREATE TABLE alarm_settings (
  only_row        boolean PRIMARY KEY DEFAULT true CHECK (only_row),
  first_name      text NOT NULL DEFAULT '',
  first_mail      text NOT NULL DEFAULT '',
  first_phone     text NOT NULL DEFAULT '',
  second_name     text NOT NULL DEFAULT '',
  second_mail     text NOT NULL DEFAULT '',
  second_phone    text NOT NULL DEFAULT '',
  mail_host       text NOT NULL DEFAULT '',         -- empty: no mail
  mail_port       integer NOT NULL DEFAULT 587 CHECK (mail_port BETWEEN 1 AND 65535),
  mail_user       text NOT NULL DEFAULT '',
  mail_from       text NOT NULL DEFAULT '',
  gateway_url     text NOT NULL DEFAULT '',         -- empty: no text or call
  heartbeat_url   text NOT NULL DEFAULT '',         -- empty: no heartbeat
  silent_min      integer NOT NULL DEFAULT 60 CHECK (silent_min BETWEEN 5 AND 1440),
  heartbeat_at    timestamptz,                      -- the last that was answered
  heartbeat_wrong text NOT NULL DEFAULT ''          -- what the last one met, where it failed
);
INSERT INTO alarm_settings DEFAULT VALUES;

-- What was found wrong. About names it once: a due round, an incident, or a
-- sensor and its last reading, so that two servers raise it once.
CREATE TABLE alarms (
  id        uuid PRIMARY KEY,
  kind      text NOT NULL CHECK (kind IN ('missed-round', 'warm-room', 'silent-sensor', 'test')),
  about     text NOT NULL UNIQUE,
  cooler_id smallint REFERENCES coolers,
  sensor    text NOT NULL DEFAULT '',
  since     timestamptz NOT NULL,                   -- due, too warm, or last heard of
  raised_at timestamptz NOT NULL,
  taken_at  timestamptz,
  taken_by  uuid REFERENCES staff,
  CHECK ((taken_at IS NULL) = (taken_by IS NULL)),
  CHECK ((kind = 'test') = (cooler_id IS NULL))
);
CREATE INDEX alarms_open ON alarms (raised_at) WHERE taken_at IS NULL AND kind <> 'test';
CREATE INDEX alarms_room ON alarms (cooler_id, kind) WHERE taken_at IS NULL;

-- One message to one person in one way, and what became of it.
CREATE TABLE alarm_messages (
  alarm_id  uuid NOT NULL REFERENCES alarms,
  person    smallint NOT NULL CHECK (person IN (1, 2)),
  way       text NOT NULL CHECK (way IN ('mail', 'gateway')),
  queued_at timestamptz NOT NULL,
  due_at    timestamptz NOT NULL,
  tries     integer NOT NULL DEFAULT 0,
  tried_at  timestamptz,
  wrong     text NOT NULL DEFAULT '',               -- what the last try met
  sent_at   timestamptz,
  spared_at timestamptz,                            -- somebody had it before this was sent
  CHECK (sent_at IS NULL OR spared_at IS NULL),
  PRIMARY KEY (alarm_id, person, way)
);

GRANT SELECT, UPDATE ON alarm_settings TO coldrail_app;
GRANT SELECT, INSERT, UPDATE ON alarms, alarm_messages TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 22';
