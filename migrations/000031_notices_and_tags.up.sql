-- What has to be told to whom by when, because a rule says so. It stays open
-- until somebody says how and when it was told.
CREATE TABLE notices (
  id         uuid PRIMARY KEY,
  animal_id  uuid REFERENCES animals,              -- NULL: about the shop, such as a season's report
  statute_id uuid NOT NULL REFERENCES statutes,
  raised_at  timestamptz NOT NULL,
  raised_by  uuid NOT NULL REFERENCES staff,
  due_at     timestamptz NOT NULL,
  sent_at    timestamptz,
  sent_by    uuid REFERENCES staff,
  how        text NOT NULL DEFAULT '',
  CHECK ((sent_at IS NULL) = (sent_by IS NULL) AND (sent_at IS NULL) = (how = ''))
);
CREATE UNIQUE INDEX notices_once ON notices (animal_id, statute_id) WHERE sent_at IS NULL;
CREATE INDEX notices_open ON notices (due_at) WHERE sent_at IS NULL;

-- Where the official tag went, step by step.
CREATE TABLE tag_moves (
  id       uuid PRIMARY KEY,
  tag_id   uuid NOT NULL REFERENCES official_tags,
  was      text NOT NULL,
  now      text NOT NULL CHECK (now IN ('on-carcass', 'on-card', 'with-boxes', 'returned', 'lost')),
  note     text NOT NULL DEFAULT '',               -- of a lost tag: the statement
  warden   text NOT NULL DEFAULT '',               -- whom of the agency was called, and when
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff,
  CHECK (was <> now),
  CHECK (now <> 'lost' OR note <> '' AND warden <> '')
);
CREATE INDEX tag_moves_tag ON tag_moves (tag_id, at);

GRANT SELECT, INSERT, UPDATE (sent_at, sent_by, how) ON notices TO coldrail_app;
GRANT SELECT, INSERT ON tag_moves TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 31';
