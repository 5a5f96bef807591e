-- One row per carcass. The five tracks move apart from each other; domain/animal
-- holds their moves, the CHECKs repeat their states. "Ready to cut" is computed
-- and has no column.
CREATE TABLE animals (
  id            uuid PRIMARY KEY,                   -- made by the form or the device: sending twice is harmless
  number        text NOT NULL UNIQUE CHECK (number ~ '^[0-9]{2}-[0-9]{4}-[0-9]$'),
  species       text NOT NULL CHECK (species IN ('whitetail', 'mule-deer', 'other-deer', 'elk', 'moose', 'caribou',
                  'pronghorn', 'bear', 'wild-hog', 'beef', 'bison', 'veal', 'lamb', 'goat', 'hog')),
  class         text NOT NULL CHECK (class IN ('mature', 'young', 'thin', 'bull', 'cow', 'fat-cover', 'lean')),
  sex           text NOT NULL DEFAULT '' CHECK (sex IN ('', 'male', 'female')),
  points        smallint CHECK (points BETWEEN 0 AND 60),
  form          text NOT NULL CHECK (form IN ('whole', 'whole-hide-on', 'quarters', 'boned')),
  killed_at     timestamptz NOT NULL,
  killed_day_only boolean NOT NULL DEFAULT false,
  received_at   timestamptz NOT NULL,
  received_by   uuid NOT NULL REFERENCES staff,
  device_id     uuid REFERENCES devices,
  entered_at    timestamptz NOT NULL DEFAULT now(),
  deep_c        double precision CHECK (deep_c BETWEEN -40 AND 60),
  kept_c        double precision CHECK (kept_c BETWEEN -40 AND 60),
  kept          text CHECK (kept IN ('hung', 'covered')),
  door          text NOT NULL DEFAULT 'clean' CHECK (door IN ('clean', 'damaged')),
  door_note     text NOT NULL DEFAULT '',
  field_dressed_kg double precision CHECK (field_dressed_kg BETWEEN 1 AND 1500),
  hanging_kg    double precision CHECK (hanging_kg BETWEEN 1 AND 1500),   -- the last weigh-in for it
  wish          text NOT NULL DEFAULT '' CHECK (wish IN ('', 'cut-when-cold', 'long-hang')),
  keeps         text NOT NULL DEFAULT '',           -- head, cape, antlers, hide: what the owner wants kept, before the knife
  sample_wanted boolean NOT NULL DEFAULT false,
  physical      text NOT NULL CHECK (physical IN ('expected', 'arrived', 'received', 'chilling', 'hanging', 'on-table', 'split',
                  'stored', 'part-released', 'released', 'refused', 'returned', 'unclaimed', 'transferred', 'destroyed',
                  'condemned', 'seized', 'missing')),
  legal         text NOT NULL CHECK (legal IN ('unchecked', 'verified', 'query', 'warden-hold', 'tag-held', 'tag-returned')),
  disease       text NOT NULL CHECK (disease IN ('not-needed', 'wanted', 'drawn', 'pending', 'not-detected', 'detected', 'resample')),
  order_state   text NOT NULL CHECK (order_state IN ('none', 'incomplete', 'complete', 'locked', 'done', 'cancelled')),
  money         text NOT NULL CHECK (money IN ('quoted', 'deposit', 'billed', 'part-paid', 'settled', 'credit', 'written-off')),
  protocol_id   integer NOT NULL REFERENCES protocols,
  price_list_id integer NOT NULL REFERENCES price_lists,
  promised_on   date,
  link_revision integer NOT NULL DEFAULT 1 CHECK (link_revision >= 1),
  call_first    boolean NOT NULL DEFAULT false,     -- bad news the lead has not yet told: the hunter's page says "please call"
  revision      integer NOT NULL DEFAULT 1,         -- rises with every act on this animal
  CHECK (killed_at <= received_at)
);
CREATE INDEX animals_physical ON animals (physical);
CREATE INDEX animals_short ON animals (substr(number, 4, 4));
CREATE INDEX animals_received ON animals (received_at);
CREATE INDEX animals_unchecked ON animals (received_at) WHERE legal IN ('unchecked', 'query', 'warden-hold');

CREATE TABLE animal_people (
  animal_id uuid NOT NULL REFERENCES animals,
  person_id uuid NOT NULL REFERENCES people,
  role      text NOT NULL CHECK (role IN ('taker', 'deliverer', 'owner', 'payer', 'collector')),
  since     timestamptz NOT NULL,
  note      text NOT NULL DEFAULT '',
  PRIMARY KEY (animal_id, role, person_id)
);
CREATE INDEX animal_people_person ON animal_people (person_id);

-- The state's tag. Not unique: a number seen before must be acknowledged, with
-- the earlier animal and a reason.
CREATE TABLE official_tags (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  kind        text NOT NULL CHECK (kind IN ('carcass-tag', 'permit', 'seal', 'confirmation', 'ear-tag')),
  number      text NOT NULL CHECK (number <> ''),
  state       text NOT NULL,
  custody     text NOT NULL CHECK (custody IN ('on-carcass', 'on-card', 'with-boxes', 'returned', 'lost')),
  read_at     timestamptz NOT NULL,
  read_by     uuid NOT NULL REFERENCES staff,
  repeat_of   uuid REFERENCES animals,
  repeat_by   uuid REFERENCES staff,
  repeat_why  text,
  CHECK ((repeat_of IS NULL) = (repeat_by IS NULL) AND (repeat_of IS NULL) = (repeat_why IS NULL))
);
CREATE INDEX official_tags_number ON official_tags (upper(number), state);
CREATE INDEX official_tags_animal ON official_tags (animal_id);

-- Parts that hang or travel apart: sides, quarters. Their number is the
-- animal's with a letter.
CREATE TABLE pieces (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  mark      text NOT NULL CHECK (mark ~ '^[A-Z]{1,2}$'),
  kind      text NOT NULL CHECK (kind IN ('side', 'quarter', 'tub', 'head', 'cape', 'hide', 'antlers', 'heart')),
  kg        double precision CHECK (kg BETWEEN 0.1 AND 1500),
  made_at   timestamptz NOT NULL,
  UNIQUE (animal_id, mark)
);

-- Where something hangs, from and until. One open occupancy per place unless a
-- person shared it, or two devices without a network both used it (conflict),
-- which must be settled before either is cut.
CREATE TABLE occupancies (
  id        uuid PRIMARY KEY,
  place_id  integer NOT NULL REFERENCES places,
  animal_id uuid NOT NULL REFERENCES animals,
  piece_id  uuid REFERENCES pieces,
  since     timestamptz NOT NULL,
  until     timestamptz,
  by_staff  uuid NOT NULL REFERENCES staff,
  reason    text NOT NULL DEFAULT '',
  shared    boolean NOT NULL DEFAULT false,
  conflict  boolean NOT NULL DEFAULT false,
  CHECK (until IS NULL OR until >= since)
);
CREATE UNIQUE INDEX one_hook_one_animal ON occupancies (place_id) WHERE until IS NULL AND NOT shared AND NOT conflict;
CREATE UNIQUE INDEX one_animal_one_place ON occupancies (animal_id, coalesce(piece_id, animal_id)) WHERE until IS NULL;
CREATE INDEX occupancies_place ON occupancies (place_id, since);
CREATE INDEX occupancies_animal ON occupancies (animal_id, since);

CREATE TABLE weigh_ins (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  piece_id  uuid REFERENCES pieces,
  purpose   text NOT NULL CHECK (purpose IN ('field-dressed', 'hanging', 'boned', 'trim')),
  gross_kg  double precision NOT NULL CHECK (gross_kg BETWEEN 0.1 AND 1500),
  tare_kg   double precision NOT NULL DEFAULT 0 CHECK (tare_kg >= 0 AND tare_kg < gross_kg),
  net_kg    double precision GENERATED ALWAYS AS (gross_kg - tare_kg) STORED,
  typed     boolean NOT NULL DEFAULT true,
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX weigh_ins_animal ON weigh_ins (animal_id);

GRANT SELECT, INSERT, UPDATE ON animals, animal_people, official_tags, pieces, occupancies TO coldrail_app;
GRANT SELECT, INSERT ON weigh_ins TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 5';
