-- What the owner wants done, in versions; the newest that is not void counts.
CREATE TABLE orders (
  id            uuid PRIMARY KEY,
  animal_id     uuid NOT NULL REFERENCES animals,
  version       smallint NOT NULL CHECK (version >= 1),
  source        text NOT NULL CHECK (source IN ('counter', 'phone', 'card', 'repeat')),
  written_by    uuid NOT NULL REFERENCES staff,
  written_at    timestamptz NOT NULL,
  complete      boolean NOT NULL,
  own_meat_only boolean NOT NULL DEFAULT true,
  added_meat    text NOT NULL DEFAULT '' CHECK (added_meat IN ('', 'none', 'pork', 'beef')),   -- '': not asked yet
  fall_back     text NOT NULL DEFAULT '',           -- if a part is lost to damage
  note          text NOT NULL DEFAULT '',
  void_at       timestamptz,
  UNIQUE (animal_id, version)
);

CREATE TABLE order_lines (
  order_id  uuid NOT NULL REFERENCES orders,
  ord       smallint NOT NULL,
  part      text NOT NULL CHECK (part <> ''),
  treatment text NOT NULL CHECK (treatment <> ''),
  thickness text NOT NULL DEFAULT '',
  size      text NOT NULL DEFAULT '',
  per_pack  text NOT NULL DEFAULT '',
  amount    text NOT NULL DEFAULT 'all',            -- all, half, rest, or pounds as typed
  PRIMARY KEY (order_id, ord)
);

-- Time on the table. One open session an animal.
CREATE TABLE sessions_at_table (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  order_id    uuid NOT NULL REFERENCES orders,
  started_at  timestamptz NOT NULL,
  stopped_at  timestamptz,
  started_by  uuid NOT NULL REFERENCES staff,
  why_not_next text NOT NULL DEFAULT '',            -- the lead's word for taking another than the first
  CHECK (stopped_at IS NULL OR stopped_at >= started_at)
);
CREATE UNIQUE INDEX one_table_one_animal ON sessions_at_table (animal_id) WHERE stopped_at IS NULL;

CREATE TABLE boxes (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  n           smallint NOT NULL CHECK (n >= 1),
  place_id    integer REFERENCES places,
  placed_at   timestamptz,
  released_at timestamptz,
  UNIQUE (animal_id, n),
  CHECK ((place_id IS NULL) = (placed_at IS NULL))
);
CREATE INDEX boxes_place ON boxes (place_id) WHERE released_at IS NULL;

CREATE TABLE packs (
  id         uuid PRIMARY KEY,
  animal_id  uuid NOT NULL REFERENCES animals,
  session_id uuid NOT NULL REFERENCES sessions_at_table,
  box_id     uuid REFERENCES boxes,
  cut        text NOT NULL CHECK (cut <> ''),
  count      smallint NOT NULL CHECK (count BETWEEN 1 AND 500),
  net_kg     double precision NOT NULL CHECK (net_kg > 0 AND net_kg <= 1500),   -- of all of them together
  wrapped_at timestamptz NOT NULL,
  by_staff   uuid NOT NULL REFERENCES staff
);
CREATE INDEX packs_animal ON packs (animal_id);

CREATE TABLE trim (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  kind      text NOT NULL CHECK (kind IN ('bone', 'fat', 'shot', 'mould', 'dirt', 'dried', 'other')),
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  note      text NOT NULL DEFAULT '',
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX trim_animal ON trim (animal_id);

GRANT SELECT, INSERT, UPDATE ON orders, sessions_at_table, boxes TO coldrail_app;
-- A pack goes into a box later; a slip of the finger is taken back, and the time
-- line keeps both.
GRANT SELECT, INSERT ON order_lines TO coldrail_app;
GRANT SELECT, INSERT, DELETE ON packs, trim TO coldrail_app;
GRANT UPDATE (box_id) ON packs TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 10';
