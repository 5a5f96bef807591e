-- How a kind of animal hangs in this shop. A change is a new version, so that an
-- animal keeps the rule it was judged by.
CREATE TABLE protocols (
  id           integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  key          text NOT NULL,
  version      smallint NOT NULL CHECK (version >= 1),
  label        text NOT NULL,
  aged         boolean NOT NULL,
  target       double precision CHECK (target > 0 AND target < 1),
  mould_sign   text NOT NULL CHECK (mould_sign IN ('never', 'no', 'optional', 'required')),
  usual_days   text NOT NULL,
  ceiling_days double precision NOT NULL CHECK (ceiling_days BETWEEN 1 AND 60),
  long_ceiling_days double precision NOT NULL DEFAULT 0 CHECK (long_ceiling_days BETWEEN 0 AND 60),   -- on the owner's signed wish; 0: none
  cites        text NOT NULL CHECK (cites <> ''),
  since        timestamptz NOT NULL,
  made_by      uuid REFERENCES staff,
  UNIQUE (key, version),
  CHECK (aged = (target IS NOT NULL))
);

CREATE TABLE price_lists (
  id      integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  version smallint NOT NULL UNIQUE CHECK (version >= 1),
  name    text NOT NULL,
  since   timestamptz NOT NULL,
  made_by uuid REFERENCES staff
);

CREATE TABLE price_items (
  price_list_id integer NOT NULL REFERENCES price_lists,
  code          text NOT NULL CHECK (code ~ '^[a-z0-9-]+$'),
  label         text NOT NULL,
  basis         text NOT NULL CHECK (basis IN ('animal', 'lb-hanging', 'lb-finished', 'each')),
  price_cents   bigint NOT NULL CHECK (price_cents >= 0),
  minimum_cents bigint NOT NULL DEFAULT 0 CHECK (minimum_cents >= 0),
  taxable       boolean NOT NULL DEFAULT false,
  -- When it is charged by itself: for these species, in these forms, for these
  -- treatments of the cut order. All empty: only when it is ticked.
  species       text[] NOT NULL DEFAULT '{}',
  forms         text[] NOT NULL DEFAULT '{}',
  treatments    text[] NOT NULL DEFAULT '{}',
  ord           smallint NOT NULL,
  PRIMARY KEY (price_list_id, code)
);

GRANT SELECT, INSERT ON protocols, price_lists, price_items TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 4';
