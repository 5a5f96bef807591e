-- What a tablet's clock was off by when it last answered: above zero it runs
-- ahead of the shop's machine.
ALTER TABLE devices
  ADD COLUMN clock_ahead_ms    bigint,
  ADD COLUMN clock_measured_at timestamptz;

-- What the tablet's own clock said when an act was kept on it; "at" beside it is
-- that moment by the shop's clock, "entered_at" when it arrived. NULL: done on
-- the shop's machine, or without script.
ALTER TABLE time_line ADD COLUMN device_at timestamptz;

-- A person unlocked on a device for one shift: the device keeps the token, the
-- records its hash. It never holds a PIN or the hash of one.
CREATE TABLE shifts (
  token_hash bytea PRIMARY KEY CHECK (length(token_hash) = 32),
  device_id  uuid NOT NULL REFERENCES devices,
  staff_id   uuid NOT NULL REFERENCES staff,
  begins_at  timestamptz NOT NULL,
  ends_at    timestamptz NOT NULL,
  CHECK (ends_at > begins_at)
);

-- What was kept on a tablet, refused by the shop's machine, and then given up by
-- a person with a reason: nothing goes silently.
CREATE TABLE discarded (
  act        uuid PRIMARY KEY,                      -- of what was given up
  device_id  uuid REFERENCES devices,
  by_staff   uuid NOT NULL REFERENCES staff,
  at         timestamptz NOT NULL,
  kept_at    timestamptz NOT NULL,                  -- by the tablet's clock
  title      text NOT NULL CHECK (title <> ''),
  said       text NOT NULL,                         -- why it was refused
  fields     jsonb NOT NULL,                        -- without names, phones, addresses, licences
  reason     text NOT NULL CHECK (reason <> '')
);
CREATE INDEX discarded_at ON discarded (at);

-- Pictures, made small and without what a camera writes into them, so that every
-- backup of the records has them.
CREATE TABLE photos (
  id        uuid PRIMARY KEY,
  look_id   uuid NOT NULL REFERENCES looks,
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  jpeg      bytea NOT NULL CHECK (length(jpeg) BETWEEN 100 AND 1500000)
);
CREATE INDEX photos_look ON photos (look_id);

GRANT SELECT, INSERT ON shifts, discarded, photos TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 16';
