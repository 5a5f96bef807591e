-- Two roles: whoever runs the migrations owns the tables; the program works as
-- coldrail_app, which gets only what each GRANT below names. Roles belong to the
-- whole cluster, so another database may have made it already.
DO $$
BEGIN
  CREATE ROLE coldrail_app NOLOGIN;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;
GRANT USAGE ON SCHEMA public TO coldrail_app;

-- One row: the shop and the settings every screen needs.
CREATE TABLE shop (
  only_row        boolean PRIMARY KEY DEFAULT true CHECK (only_row),
  name            text NOT NULL,
  address         text NOT NULL DEFAULT '',
  phone           text NOT NULL DEFAULT '',
  zone            text NOT NULL,                    -- IANA name
  units           text NOT NULL DEFAULT 'us' CHECK (units IN ('us', 'metric')),
  language        text NOT NULL DEFAULT 'en',
  home_state      text NOT NULL DEFAULT '',
  season          smallint NOT NULL CHECK (season BETWEEN 0 AND 99),
  morning_round   time NOT NULL DEFAULT '07:00',
  evening_round   time NOT NULL DEFAULT '19:00',
  round_slack_min smallint NOT NULL DEFAULT 120 CHECK (round_slack_min BETWEEN 15 AND 360),
  cut_as_they_come boolean NOT NULL DEFAULT false,  -- a shop that does not age at all
  warden_phone    text NOT NULL DEFAULT ''
);
INSERT INTO shop (name, zone, season)
VALUES ('My meat shop', 'America/New_York', extract(year FROM now())::int % 100);

-- Keys the servers share, such as the one behind the hunters' links.
CREATE TABLE secrets (
  name    text PRIMARY KEY,
  value   bytea NOT NULL CHECK (length(value) >= 32),
  made_at timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE staff (
  id            uuid PRIMARY KEY,
  name          text NOT NULL CHECK (name <> ''),
  initials      text NOT NULL CHECK (initials <> ''),
  roles         text[] NOT NULL CHECK (roles <@ ARRAY['counter', 'cooler', 'cutter', 'lead', 'owner'] AND cardinality(roles) > 0),
  pin_hash      text NOT NULL,
  password_hash text,                               -- owners only: enrols a device
  pin_misses    smallint NOT NULL DEFAULT 0,
  pin_wait_until timestamptz,
  starts_on     date NOT NULL,
  ends_on       date,
  CHECK (password_hash IS NULL OR 'owner' = ANY (roles))
);
CREATE UNIQUE INDEX staff_initials ON staff (upper(initials));

CREATE TABLE devices (
  id          uuid PRIMARY KEY,
  name        text NOT NULL CHECK (name <> ''),
  enrolled_at timestamptz NOT NULL,
  enrolled_by uuid NOT NULL REFERENCES staff,
  revoked_at  timestamptz
);

-- The table the session library asks for (alexedwards/scs, pgxstore).
CREATE TABLE sessions (
  token  text PRIMARY KEY,
  data   bytea NOT NULL,
  expiry timestamptz NOT NULL
);
CREATE INDEX sessions_expiry ON sessions (expiry);

GRANT SELECT, UPDATE ON shop TO coldrail_app;
GRANT SELECT, INSERT ON secrets TO coldrail_app;
GRANT SELECT, INSERT, UPDATE ON staff, devices TO coldrail_app;
GRANT SELECT, INSERT, UPDATE, DELETE ON sessions TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 1';
