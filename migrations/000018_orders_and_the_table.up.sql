-- A shared animal has an order a portion; the version counts over all of them, so
-- that one number tells whether a paper still holds.
ALTER TABLE orders
  ADD COLUMN portion text NOT NULL DEFAULT '' CHECK (portion IN ('', 'L', 'R', 'L1', 'L2', 'R1', 'R2')),
  ADD COLUMN for_whom text NOT NULL DEFAULT '',
  ADD COLUMN caller text NOT NULL DEFAULT '',              -- who was on the phone
  ADD COLUMN thirty_months text NOT NULL DEFAULT '' CHECK (thirty_months IN ('', 'yes', 'no')),
  ADD COLUMN lost text[] NOT NULL DEFAULT '{}',            -- parts lost to damage
  ADD COLUMN waits_for text NOT NULL DEFAULT '';           -- portions whose owner has not ordered
CREATE UNIQUE INDEX one_order_one_portion ON orders (animal_id, portion) WHERE void_at IS NULL;
CREATE INDEX orders_waiting_for_mates ON orders (animal_id) WHERE void_at IS NULL AND waits_for <> '';
ALTER TABLE order_lines
  ADD COLUMN flavour text NOT NULL DEFAULT '',
  ADD COLUMN fat text NOT NULL DEFAULT '' CHECK (fat IN ('', '0', '5', '10', '15', '20'));

-- Who cuts, beside whoever started.
CREATE TABLE session_cutters (
  session_id uuid NOT NULL REFERENCES sessions_at_table,
  staff_id   uuid NOT NULL REFERENCES staff,
  since      timestamptz NOT NULL,
  PRIMARY KEY (session_id, staff_id)
);
ALTER TABLE sessions_at_table
  ADD COLUMN instead_of text NOT NULL DEFAULT '',          -- the number that stood first
  ADD COLUMN all_weighed boolean NOT NULL DEFAULT false;   -- bone, fat and what was thrown away: all of it

-- Everything that comes off apart has a number of its own until it is gone.
ALTER TABLE pieces
  ADD COLUMN made_by uuid REFERENCES staff,
  ADD COLUMN instruction text NOT NULL DEFAULT '',
  ADD COLUMN gone_at timestamptz,
  ADD COLUMN gone_to text NOT NULL DEFAULT '',
  ADD COLUMN gone_by uuid REFERENCES staff,
  ADD CHECK ((gone_at IS NULL) = (gone_to = ''));
CREATE INDEX pieces_open_tubs ON pieces (made_at) WHERE kind = 'tub' AND gone_at IS NULL;

-- The tubs counted at the day's close against those that are open in the book.
CREATE TABLE tub_counts (
  id       uuid PRIMARY KEY,
  counted  smallint NOT NULL CHECK (counted BETWEEN 0 AND 500),
  open     smallint NOT NULL CHECK (open >= 0),
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);

-- A scale that sends its weights. Only the hash of its token is kept.
CREATE TABLE scales (
  id         uuid PRIMARY KEY,
  name       text NOT NULL UNIQUE CHECK (name ~ '^[a-z0-9-]{1,30}$'),
  token_hash bytea NOT NULL CHECK (length(token_hash) = 32),
  device_id  uuid REFERENCES devices,                      -- the tablet it stands beside; NULL: any
  made_at    timestamptz NOT NULL,
  made_by    uuid NOT NULL REFERENCES staff,
  revoked_at timestamptz
);
CREATE TABLE scale_readings (
  id       uuid PRIMARY KEY,
  scale_id uuid NOT NULL REFERENCES scales,
  kg       double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  sent     text NOT NULL,                                  -- as the scale wrote it
  at       timestamptz NOT NULL,
  used_at  timestamptz                                     -- a weight is used once
);
CREATE INDEX scale_readings_latest ON scale_readings (scale_id, at DESC);
ALTER TABLE packs
  ADD COLUMN portion text NOT NULL DEFAULT '',
  ADD COLUMN tare_kg double precision NOT NULL DEFAULT 0 CHECK (tare_kg >= 0),
  ADD COLUMN scale text NOT NULL DEFAULT '',               -- its name; empty: typed
  ADD COLUMN read_at timestamptz,
  ADD CHECK ((scale = '') = (read_at IS NULL));
ALTER TABLE trim
  ADD COLUMN tare_kg double precision NOT NULL DEFAULT 0 CHECK (tare_kg >= 0),
  ADD COLUMN scale text NOT NULL DEFAULT '',
  ADD COLUMN read_at timestamptz,
  ADD COLUMN part text NOT NULL DEFAULT '',                -- an edible part that was thrown away
  ADD CHECK ((scale = '') = (read_at IS NULL)),
  ADD CHECK (part = '' OR note <> '');

-- Labels that were printed; the second time with a reason.
CREATE TABLE prints (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  what      text NOT NULL CHECK (what IN ('pack', 'box', 'tag', 'piece')),
  which     text NOT NULL,                                 -- the line of packs, the box, the piece
  labels    smallint NOT NULL CHECK (labels BETWEEN 1 AND 500),
  why       text NOT NULL DEFAULT '',
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX prints_of ON prints (animal_id, what, which, at);

GRANT SELECT, INSERT ON session_cutters, tub_counts, prints TO coldrail_app;
GRANT SELECT, INSERT, UPDATE ON scales TO coldrail_app;
GRANT SELECT, INSERT, DELETE ON scale_readings TO coldrail_app;
GRANT UPDATE (used_at) ON scale_readings TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 18';
