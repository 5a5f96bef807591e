-- A second number, and when to call it.
ALTER TABLE people
  ADD COLUMN second_phone text NOT NULL DEFAULT '',
  ADD COLUMN call_when text NOT NULL DEFAULT '';

-- Which forms the shop takes: the last line of a form counts, none means open.
CREATE TABLE intake_switches (
  id       uuid PRIMARY KEY,
  form     text NOT NULL CHECK (form IN ('whole', 'quarters', 'boned')),
  closed   boolean NOT NULL,
  why      text NOT NULL DEFAULT '',
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff,
  CHECK (NOT closed OR why <> '')
);
CREATE INDEX intake_switches_last ON intake_switches (form, at DESC);

-- What was turned away at the door, or would have been.
CREATE TABLE refusals (
  id       uuid PRIMARY KEY,
  finding  text NOT NULL CHECK (finding <> ''),
  reason   text NOT NULL CHECK (reason <> ''),
  species  text NOT NULL DEFAULT '',
  name     text NOT NULL DEFAULT '',
  phone    text NOT NULL DEFAULT '',
  tag      text NOT NULL DEFAULT '',
  deep_c   double precision CHECK (deep_c BETWEEN -40 AND 60),
  told     text NOT NULL DEFAULT '',                -- which agency was told, or who else
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);
CREATE INDEX refusals_at ON refusals (at);

-- What lay in the bay in the morning: carcasses and cards. A carcass has the card
-- it was paired with; what has none, and is not settled, is an open question.
CREATE TABLE night_finds (
  id         uuid PRIMARY KEY,
  kind       text NOT NULL CHECK (kind IN ('carcass', 'card')),
  number     text NOT NULL DEFAULT '' CHECK (number = '' OR number ~ '^[0-9]{2}-[0-9]{4}-[0-9]$'),
  reads      text NOT NULL DEFAULT '',              -- card: the name as it reads; carcass: what marks it
  phone      text NOT NULL DEFAULT '',
  tag        text NOT NULL DEFAULT '',              -- the state's
  species    text NOT NULL DEFAULT '',
  deep_c     double precision CHECK (deep_c BETWEEN -40 AND 60),
  note       text NOT NULL DEFAULT '',
  card_id    uuid UNIQUE REFERENCES night_finds,
  animal_id  uuid UNIQUE REFERENCES animals,        -- carcass: taken in as
  found_at   timestamptz NOT NULL,
  found_by   uuid NOT NULL REFERENCES staff,
  settled    text NOT NULL DEFAULT '',
  settled_at timestamptz,
  settled_by uuid REFERENCES staff,
  CHECK (kind = 'carcass' OR card_id IS NULL AND animal_id IS NULL),
  CHECK ((settled = '') = (settled_at IS NULL) AND (settled = '') = (settled_by IS NULL))
);
CREATE UNIQUE INDEX one_half_one_find ON night_finds (kind, number) WHERE number <> '';
CREATE INDEX night_finds_open ON night_finds (found_at) WHERE settled_at IS NULL;

-- The count of the morning, before anything else.
CREATE TABLE night_counts (
  id        uuid PRIMARY KEY,
  carcasses smallint NOT NULL CHECK (carcasses BETWEEN 0 AND 500),
  cards     smallint NOT NULL CHECK (cards BETWEEN 0 AND 500),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX night_counts_at ON night_counts (at);

-- Pictures taken at the door, of one thing each.
CREATE TABLE door_photos (
  id         uuid PRIMARY KEY,
  animal_id  uuid REFERENCES animals,
  refusal_id uuid REFERENCES refusals,
  find_id    uuid REFERENCES night_finds,
  at         timestamptz NOT NULL,
  by_staff   uuid NOT NULL REFERENCES staff,
  jpeg       bytea NOT NULL CHECK (length(jpeg) BETWEEN 100 AND 1500000),
  CHECK (num_nonnulls(animal_id, refusal_id, find_id) = 1)
);
CREATE INDEX door_photos_animal ON door_photos (animal_id) WHERE animal_id IS NOT NULL;
CREATE INDEX door_photos_refusal ON door_photos (refusal_id) WHERE refusal_id IS NOT NULL;
CREATE INDEX door_photos_find ON door_photos (find_id) WHERE find_id IS NOT NULL;

-- What somebody signed at the counter: the sentences as they were shown, the name,
-- and the line the finger drew.
CREATE TABLE signed (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  words     text[] NOT NULL CHECK (cardinality(words) > 0),
  signer    text NOT NULL CHECK (signer <> ''),
  strokes   text NOT NULL DEFAULT '' CHECK (strokes ~ '^[ML0-9 ]*$' AND length(strokes) <= 20000),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX signed_animal ON signed (animal_id, at);

GRANT SELECT, INSERT ON intake_switches, refusals, night_counts, door_photos, signed TO coldrail_app;
GRANT SELECT, INSERT, UPDATE ON night_finds TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 27';
