-- The shop's hand thermometers. One whose last ice check failed is out of service
-- until it passes again.
CREATE TABLE thermometers (
  id         smallint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  name       text NOT NULL UNIQUE CHECK (name <> ''),
  added_at   timestamptz NOT NULL,
  added_by   uuid NOT NULL REFERENCES staff,
  retired_at timestamptz,
  retired_by uuid REFERENCES staff,
  CHECK ((retired_at IS NULL) = (retired_by IS NULL))
);

CREATE TABLE ice_checks (
  id             uuid PRIMARY KEY,
  thermometer_id smallint NOT NULL REFERENCES thermometers,
  at             timestamptz NOT NULL,
  by_staff       uuid NOT NULL REFERENCES staff,
  reading_c      double precision NOT NULL CHECK (reading_c BETWEEN -40 AND 60),
  passed         boolean NOT NULL,
  adjusted       boolean NOT NULL DEFAULT false,   -- set right after this reading
  note           text NOT NULL DEFAULT ''
);
CREATE INDEX ice_checks_of ON ice_checks (thermometer_id, at);

-- A round is walked in steps: the room, each rail, each carcass, the end. Its row
-- stands from the first step on. Older programs write whole rounds at once.
ALTER TABLE rounds
  ADD COLUMN finished       boolean NOT NULL DEFAULT true,   -- false: under way
  ADD COLUMN room_at        timestamptz,                     -- when the room's list was answered
  ADD COLUMN full_list      boolean NOT NULL DEFAULT false,  -- the long list, once a day
  ADD COLUMN humidity_pct   double precision CHECK (humidity_pct BETWEEN 0 AND 100),
  ADD COLUMN thermometer_id smallint REFERENCES thermometers,  -- the independent one
  ADD COLUMN on_paper       boolean NOT NULL DEFAULT false,
  ADD COLUMN entered_by     uuid REFERENCES staff,           -- who typed the sheet in
  ADD CHECK (on_paper = (entered_by IS NOT NULL));
UPDATE rounds SET room_at = walked_to;
CREATE INDEX rounds_under_way ON rounds (cooler_id, walked_from) WHERE NOT finished;
CREATE INDEX rounds_measured_with ON rounds (thermometer_id, walked_to) WHERE thermometer_id IS NOT NULL;

-- The yes-or-no lines of the long list.
CREATE TABLE round_items (
  round_id uuid NOT NULL REFERENCES rounds,
  item     text NOT NULL CHECK (item IN ('frost', 'drip', 'floor', 'door', 'light')),
  is_right boolean NOT NULL,
  PRIMARY KEY (round_id, item)
);

-- The tags of a rail, read because its count was wrong.
CREATE TABLE tag_reads (
  id       uuid PRIMARY KEY,
  round_id uuid NOT NULL REFERENCES rounds,
  rail_id  smallint NOT NULL REFERENCES rails,
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff,
  missing  text[] NOT NULL,
  extra    text[] NOT NULL
);
CREATE INDEX tag_reads_round ON tag_reads (round_id);

-- What was found out of its limit and must be put right. It stays open until
-- somebody says what was done, and is closed by name.
CREATE TABLE corrective_actions (
  id        uuid PRIMARY KEY,
  cooler_id smallint NOT NULL REFERENCES coolers,
  round_id  uuid REFERENCES rounds,
  item      text NOT NULL CHECK (item <> ''),
  rail_id   smallint REFERENCES rails,
  number    text NOT NULL DEFAULT '',                -- of a carcass missing or too many
  value     double precision,                        -- °C, percent or how many, by item
  expected  integer,                                 -- of a count
  found_at  timestamptz NOT NULL,
  found_by  uuid NOT NULL REFERENCES staff,
  done      text NOT NULL DEFAULT '',
  product   text NOT NULL DEFAULT '',                -- the carcasses touched
  cause     text NOT NULL DEFAULT '',
  done_at   timestamptz,
  done_by   uuid REFERENCES staff,
  closed_at timestamptz,
  closed_by uuid REFERENCES staff,
  CHECK ((done_at IS NULL) = (done = '') AND (done_at IS NULL) = (done_by IS NULL)),
  CHECK ((closed_at IS NULL) = (closed_by IS NULL) AND (closed_at IS NULL OR done_at IS NOT NULL))
);
CREATE UNIQUE INDEX one_open_action ON corrective_actions (cooler_id, item, coalesce(rail_id, 0), number) WHERE closed_at IS NULL;

-- The rounds measured with a thermometer that turned out wrong: each is looked at
-- again by somebody.
CREATE TABLE look_backs (
  ice_check_id uuid NOT NULL REFERENCES ice_checks,
  round_id     uuid NOT NULL REFERENCES rounds,
  says         text NOT NULL DEFAULT '',
  seen_at      timestamptz,
  seen_by      uuid REFERENCES staff,
  PRIMARY KEY (ice_check_id, round_id),
  CHECK ((seen_at IS NULL) = (seen_by IS NULL) AND (seen_at IS NULL) = (says = ''))
);

GRANT SELECT, INSERT, UPDATE ON thermometers, corrective_actions, look_backs TO coldrail_app;
GRANT SELECT, INSERT ON ice_checks, round_items, tag_reads TO coldrail_app;
GRANT UPDATE (due_id, walked_from, walked_to, arrived_at, air_panel_c, air_own_c, meat_old_c, meat_new_c, fans_running, smell, comment,
              finished, room_at, full_list, humidity_pct, thermometer_id) ON rounds TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 17';
