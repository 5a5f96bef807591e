-- A round that is due stands here from the moment its window opens, so that one
-- nobody walked is a row and not an absence.
CREATE TABLE due_rounds (
  id        uuid PRIMARY KEY,
  cooler_id smallint NOT NULL REFERENCES coolers,
  kind      text NOT NULL CHECK (kind IN ('morning', 'evening')),
  opens_at  timestamptz NOT NULL,
  due_at    timestamptz NOT NULL,
  closes_at timestamptz NOT NULL,
  state     text NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'done', 'late', 'missed', 'paper')),
  missed_at timestamptz,                            -- kept when a walk made in time arrives later
  UNIQUE (cooler_id, due_at),
  CHECK (opens_at < due_at AND due_at < closes_at),
  CHECK (state <> 'missed' OR missed_at IS NOT NULL)
);
CREATE INDEX due_rounds_open ON due_rounds (closes_at) WHERE state = 'open';

-- A round that was walked. The id is made on the device.
CREATE TABLE rounds (
  id            uuid PRIMARY KEY,
  cooler_id     smallint NOT NULL REFERENCES coolers,
  due_id        uuid REFERENCES due_rounds,         -- NULL: an extra look outside any window
  walked_from   timestamptz NOT NULL,
  walked_to     timestamptz NOT NULL,
  arrived_at    timestamptz NOT NULL,
  by_staff      uuid NOT NULL REFERENCES staff,
  device_id     uuid REFERENCES devices,
  air_panel_c   double precision CHECK (air_panel_c BETWEEN -40 AND 60),
  air_own_c     double precision CHECK (air_own_c BETWEEN -40 AND 60),     -- independent thermometer, warm spot
  meat_old_c    double precision CHECK (meat_old_c BETWEEN -40 AND 60),
  meat_new_c    double precision CHECK (meat_new_c BETWEEN -40 AND 60),
  fans_running  smallint CHECK (fans_running BETWEEN 0 AND 50),
  smell         text NOT NULL DEFAULT '' CHECK (smell IN ('', 'clean', 'gamey', 'musty', 'fishy', 'sour', 'putrid', 'sulphur')),
  comment       text NOT NULL DEFAULT '',
  CHECK (walked_from <= walked_to)
);
CREATE INDEX rounds_cooler ON rounds (cooler_id, walked_to);

CREATE TABLE rail_counts (
  round_id uuid NOT NULL REFERENCES rounds,
  rail_id  smallint NOT NULL REFERENCES rails,
  expected smallint NOT NULL,
  counted  smallint NOT NULL CHECK (counted BETWEEN 0 AND 999),
  at       timestamptz NOT NULL,
  PRIMARY KEY (round_id, rail_id)
);

-- One look at one carcass; the id is made on the device.
CREATE TABLE looks (
  id         uuid PRIMARY KEY,
  animal_id  uuid NOT NULL REFERENCES animals,
  round_id   uuid REFERENCES rounds,
  at         timestamptz NOT NULL,
  arrived_at timestamptz NOT NULL,
  by_staff   uuid NOT NULL REFERENCES staff,
  smell      text NOT NULL CHECK (smell IN ('clean', 'gamey', 'musty', 'fishy', 'sour', 'putrid', 'sulphur')),
  surface    text NOT NULL CHECK (surface IN ('wet', 'drying', 'dry', 'sticky', 'slimy')),
  touched    boolean NOT NULL DEFAULT false,        -- by hand: its dryness may speak for the rail
  note       text NOT NULL DEFAULT ''
);
CREATE INDEX looks_animal ON looks (animal_id, at);

CREATE TABLE look_moulds (
  look_id   uuid NOT NULL REFERENCES looks,
  site      text NOT NULL CHECK (site IN ('ribs', 'fat', 'meat', 'neck', 'flank')),
  length_mm double precision NOT NULL CHECK (length_mm BETWEEN 0 AND 100),
  colour    text NOT NULL CHECK (colour IN ('white', 'grey', 'black', 'blue-green', 'yellow', 'pink')),
  PRIMARY KEY (look_id, site, colour)
);

-- The surface an animal takes from a touched neighbour of its kind on its rail.
CREATE TABLE rail_surfaces (
  animal_id uuid NOT NULL REFERENCES animals,
  look_id   uuid NOT NULL REFERENCES looks,
  at        timestamptz NOT NULL,
  surface   text NOT NULL CHECK (surface IN ('wet', 'drying', 'dry', 'sticky', 'slimy')),
  PRIMARY KEY (animal_id, look_id)
);

-- What the lead decided about an animal that stood at "stop".
CREATE TABLE decisions (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  verdict   text NOT NULL CHECK (verdict IN ('carry-on', 'trim-and-cut-first', 'condemn-part', 'condemn-all')),
  reason    text NOT NULL CHECK (reason <> ''),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX decisions_animal ON decisions (animal_id, at);

GRANT SELECT, INSERT, UPDATE ON due_rounds TO coldrail_app;
GRANT SELECT, INSERT ON rounds, rail_counts, looks, look_moulds, rail_surfaces, decisions TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 8';
