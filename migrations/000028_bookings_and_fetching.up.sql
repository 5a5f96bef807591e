-- Days for which animals are booked, and how many heads each takes.
CREATE TABLE booking_days (
  id      uuid PRIMARY KEY,
  day     date NOT NULL,
  kind    text NOT NULL CHECK (kind IN ('kill', 'season')),
  heads   smallint NOT NULL CHECK (heads BETWEEN 1 AND 200),
  note    text NOT NULL DEFAULT '',
  made_at timestamptz NOT NULL,
  made_by uuid NOT NULL REFERENCES staff,
  UNIQUE (day, kind)
);

-- Who brings what on such a day.
CREATE TABLE bookings (
  id         uuid PRIMARY KEY,
  day_id     uuid NOT NULL REFERENCES booking_days,
  species    text NOT NULL,
  heads      smallint NOT NULL CHECK (heads BETWEEN 1 AND 50),
  name       text NOT NULL CHECK (name <> ''),
  phone      text NOT NULL DEFAULT '',
  bring_at   time,
  note       text NOT NULL DEFAULT '',
  state      text NOT NULL DEFAULT 'booked' CHECK (state IN ('booked', 'came', 'no-show', 'called-off')),
  why        text NOT NULL DEFAULT '',
  made_at    timestamptz NOT NULL,
  made_by    uuid NOT NULL REFERENCES staff,
  changed_at timestamptz,
  changed_by uuid REFERENCES staff,
  CHECK (state NOT IN ('no-show', 'called-off') OR why <> '')
);
CREATE INDEX bookings_day ON bookings (day_id);
ALTER TABLE animals ADD COLUMN booking_id uuid REFERENCES bookings;
CREATE INDEX animals_booking ON animals (booking_id) WHERE booking_id IS NOT NULL;

-- Whether somebody with the receipt stub may collect, and how nobody's meat is
-- gone about. Nothing of the ladder happens before the owner turns it on.
ALTER TABLE shop
  ADD COLUMN stub_collects boolean NOT NULL DEFAULT true,
  ADD COLUMN unclaimed_on boolean NOT NULL DEFAULT false,
  ADD COLUMN second_notice_days smallint NOT NULL DEFAULT 7 CHECK (second_notice_days BETWEEN 1 AND 60),
  ADD COLUMN letter_days smallint NOT NULL DEFAULT 30 CHECK (letter_days BETWEEN 7 AND 180),
  ADD COLUMN decide_days smallint NOT NULL DEFAULT 60 CHECK (decide_days BETWEEN 14 AND 365),
  ADD COLUMN after_letter_days smallint NOT NULL DEFAULT 10 CHECK (after_letter_days BETWEEN 0 AND 180),
  ADD CHECK (second_notice_days < letter_days AND letter_days <= decide_days);

-- A hand-over signed on the glass.
ALTER TABLE handovers ADD COLUMN strokes text NOT NULL DEFAULT '' CHECK (strokes ~ '^[ML0-9 ]*$' AND length(strokes) <= 20000);

-- What the owner left with the meat and gets back: coolers, tubs, bags.
CREATE TABLE left_things (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  what        text NOT NULL CHECK (what <> ''),
  left_at     timestamptz NOT NULL,
  left_by     uuid NOT NULL REFERENCES staff,
  handover_id uuid REFERENCES handovers
);
CREATE INDEX left_things_animal ON left_things (animal_id);

-- Letters about meat nobody fetches: written, approved by the owner one by one,
-- sent, and what came of it.
CREATE TABLE letters (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  words       text[] NOT NULL CHECK (cardinality(words) > 0),
  written_at  timestamptz NOT NULL,
  written_by  uuid NOT NULL REFERENCES staff,
  approved_at timestamptz,
  approved_by uuid REFERENCES staff,
  sent_at     timestamptz,
  sent_by     uuid REFERENCES staff,
  how         text NOT NULL DEFAULT '' CHECK (how IN ('', 'mail', 'certified')),
  back_at     timestamptz,                       -- came back undelivered
  CHECK ((approved_at IS NULL) = (approved_by IS NULL)),
  CHECK (sent_at IS NULL OR approved_at IS NOT NULL AND how <> ''),
  CHECK (back_at IS NULL OR sent_at IS NOT NULL)
);
CREATE INDEX letters_animal ON letters (animal_id, written_at);
CREATE UNIQUE INDEX one_letter_at_a_time ON letters (animal_id) WHERE sent_at IS NULL;

-- Meat given away after the state's time, never sold.
CREATE TABLE donations (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL UNIQUE REFERENCES animals,
  recipient text NOT NULL CHECK (recipient <> ''),
  address   text NOT NULL DEFAULT '',
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  signer    text NOT NULL CHECK (signer <> ''),
  strokes   text NOT NULL DEFAULT '' CHECK (strokes ~ '^[ML0-9 ]*$' AND length(strokes) <= 20000),
  why       text NOT NULL CHECK (why <> ''),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);

GRANT SELECT, INSERT, UPDATE ON booking_days, bookings, left_things, letters TO coldrail_app;
GRANT SELECT, INSERT ON donations TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 28';
