-- A new price list is prepared line by line, then put in force from a day on, with
-- the reason. What is in force is never written over.
ALTER TABLE price_lists ADD COLUMN why text NOT NULL DEFAULT '', ADD COLUMN made_at timestamptz;

-- at-least: what all lines of the list come to at the least for one animal.
ALTER TABLE price_items DROP CONSTRAINT price_items_basis_check;
ALTER TABLE price_items ADD CONSTRAINT price_items_basis_check
  CHECK (basis IN ('animal', 'lb-hanging', 'lb-finished', 'each', 'at-least'));

-- The one list being prepared, and the version it is a copy of.
CREATE TABLE price_draft (
  only_one  boolean PRIMARY KEY DEFAULT true CHECK (only_one),
  base      smallint NOT NULL,                -- 0: there was no list yet
  begun_at  timestamptz NOT NULL,
  begun_by  uuid NOT NULL REFERENCES staff
);

CREATE TABLE price_draft_items (
  code          text PRIMARY KEY CHECK (code ~ '^[a-z0-9-]+$'),
  label         text NOT NULL,
  basis         text NOT NULL CHECK (basis IN ('animal', 'lb-hanging', 'lb-finished', 'each', 'at-least')),
  price_cents   bigint NOT NULL CHECK (price_cents >= 0),
  minimum_cents bigint NOT NULL DEFAULT 0 CHECK (minimum_cents >= 0),
  taxable       boolean NOT NULL DEFAULT false,
  species       text[] NOT NULL DEFAULT '{}',
  forms         text[] NOT NULL DEFAULT '{}',
  treatments    text[] NOT NULL DEFAULT '{}',
  ord           smallint NOT NULL,
  revision      integer NOT NULL DEFAULT 1    -- so that whoever comes second with a line is told
);

GRANT SELECT, INSERT, UPDATE, DELETE ON price_draft, price_draft_items TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 39';
