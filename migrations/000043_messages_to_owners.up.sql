-- Messages to owners: that the meat is ready, a day moved, a result came.
-- Where a person gets mail, and that mail is how they want to be told. A letter
-- is 'mail', as before.
ALTER TABLE people
  ADD COLUMN mail text NOT NULL DEFAULT '',
  DROP CONSTRAINT people_tell_by_check,
  ADD CONSTRAINT people_tell_by_check CHECK (tell_by IN ('text', 'call', 'mail', 'e-mail'));

ALTER TABLE contacts
  DROP CONSTRAINT contacts_way_check,
  DROP CONSTRAINT contacts_outcome_check,
  ADD CONSTRAINT contacts_way_check CHECK (way IN ('call', 'text', 'mail', 'e-mail', 'in person')),
  ADD CONSTRAINT contacts_outcome_check CHECK (outcome IN ('spoke', 'left word', 'no answer', 'busy', 'sent', 'failed'));

-- One row: whether any message goes, and when none does.
CREATE TABLE message_settings (
  only_row     boolean PRIMARY KEY DEFAULT true CHECK (only_row),
  sending      boolean NOT NULL DEFAULT false,
  quiet_from   time NOT NULL DEFAULT '21:00',
  quiet_to     time NOT NULL DEFAULT '08:00',
  freeze_hours smallint NOT NULL DEFAULT 24 CHECK (freeze_hours BETWEEN 0 AND 96)
);
INSERT INTO message_settings DEFAULT VALUES;

-- What the shop says, each version kept; a kind without one has the program's words.
CREATE TABLE message_wordings (
  kind       text NOT NULL CHECK (kind IN ('ready', 'part-ready', 'moved', 'result', 'storage')),
  version    integer NOT NULL CHECK (version >= 1),
  words      text NOT NULL CHECK (words <> '' AND length(words) <= 600),
  written_at timestamptz NOT NULL,
  written_by uuid NOT NULL REFERENCES staff,
  PRIMARY KEY (kind, version)
);

-- Who wants no texts or no mail any more. A row is never deleted: it ends.
CREATE TABLE message_stops (
  id        uuid PRIMARY KEY,
  person_id uuid NOT NULL REFERENCES people,
  way       text NOT NULL CHECK (way IN ('text', 'e-mail')),
  since     timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  ended_at  timestamptz,
  ended_by  uuid REFERENCES staff,
  CHECK ((ended_at IS NULL) = (ended_by IS NULL))
);
CREATE UNIQUE INDEX one_stop_at_a_time ON message_stops (person_id, way) WHERE ended_at IS NULL;

-- One message to one person about one animal. Its id is the key that goes with it.
CREATE TABLE messages (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  person_id uuid NOT NULL REFERENCES people,
  kind      text NOT NULL CHECK (kind IN ('ready', 'part-ready', 'moved', 'result', 'storage')),
  about     text NOT NULL DEFAULT '',            -- the day before, the laboratory's word
  way       text NOT NULL CHECK (way IN ('text', 'e-mail', 'call')),
  state     text NOT NULL CHECK (state IN ('queued', 'sent', 'to-call', 'called', 'dropped')),
  why       text NOT NULL DEFAULT '',            -- it is to be called, or was dropped
  queued_at timestamptz NOT NULL,
  queued_by uuid NOT NULL REFERENCES staff,      -- whose act it came with
  due_at    timestamptz NOT NULL,
  urged     boolean NOT NULL DEFAULT false,      -- a person said: now
  job       bigint,                              -- its job in the queue
  words     text NOT NULL DEFAULT '',            -- as at the first try; the same at each
  call_us   boolean NOT NULL DEFAULT false,      -- it says only that they should call
  address   text NOT NULL DEFAULT '',
  tries     integer NOT NULL DEFAULT 0,
  tried_at  timestamptz,
  wrong     text NOT NULL DEFAULT '',            -- what the last try met
  ended_at  timestamptz,
  ended_by  uuid REFERENCES staff,               -- who called, or said so
  CHECK (state <> 'queued' OR way <> 'call'),
  CHECK (state NOT IN ('to-call', 'dropped') OR why <> ''),
  CHECK ((state IN ('queued', 'to-call')) = (ended_at IS NULL))
);
CREATE INDEX messages_animal ON messages (animal_id, queued_at);
CREATE INDEX messages_person ON messages (person_id);
CREATE INDEX messages_open ON messages (queued_at) WHERE state IN ('queued', 'to-call');

GRANT SELECT, UPDATE ON message_settings TO coldrail_app;
GRANT SELECT, INSERT ON message_wordings TO coldrail_app;
GRANT SELECT, INSERT, UPDATE ON message_stops, messages TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 43';
