-- The end of a day, as it was counted and signed: what was done since the last
-- close, what stood open, the money by how it was paid, the drawer. Money is told
-- by receipt numbers, so that each payment is in exactly one close.
CREATE TABLE day_closes (
  id             uuid PRIMARY KEY,
  day            date NOT NULL UNIQUE,
  since          timestamptz NOT NULL,
  until          timestamptz NOT NULL,
  receipts_after bigint NOT NULL CHECK (receipts_after >= 0),
  receipts_to    bigint NOT NULL,
  cash_cents     bigint NOT NULL,                   -- taken less given back
  check_cents    bigint NOT NULL,
  card_cents     bigint NOT NULL,
  other_cents    bigint NOT NULL,
  float_cents    bigint NOT NULL CHECK (float_cents >= 0),
  counted_cents  bigint NOT NULL CHECK (counted_cents >= 0),
  out_cents      bigint NOT NULL CHECK (out_cents BETWEEN 0 AND counted_cents),
  pieces         jsonb NOT NULL DEFAULT '{}',       -- worth in cents -> how many; empty where a total was typed
  why            text NOT NULL DEFAULT '',
  work           jsonb NOT NULL,                    -- what was done
  standing       jsonb NOT NULL,                    -- what stood open
  done           text[] NOT NULL,                   -- what was looked at and found done
  note           text NOT NULL DEFAULT '',
  by_staff       uuid NOT NULL REFERENCES staff,
  CHECK (since <= until),
  CHECK (receipts_to >= receipts_after),
  CHECK (counted_cents = float_cents + cash_cents OR why <> '')
);

-- A drawer counted again after its close; both counts stand.
CREATE TABLE drawer_recounts (
  id            uuid PRIMARY KEY,
  close_id      uuid NOT NULL REFERENCES day_closes,
  counted_cents bigint NOT NULL CHECK (counted_cents >= 0),
  out_cents     bigint NOT NULL CHECK (out_cents BETWEEN 0 AND counted_cents),
  why           text NOT NULL CHECK (why <> ''),
  at            timestamptz NOT NULL,
  by_staff      uuid NOT NULL REFERENCES staff
);
CREATE INDEX drawer_recounts_close ON drawer_recounts (close_id, at);

CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON day_closes FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON drawer_recounts FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- One day or one season is read of many.
CREATE INDEX handovers_at ON handovers (at);
CREATE INDEX payments_at ON payments (at);
CREATE INDEX charges_at ON charges (at);
CREATE INDEX packs_wrapped ON packs (wrapped_at);
CREATE INDEX sessions_started ON sessions_at_table (started_at);
CREATE INDEX sessions_open ON sessions_at_table (started_at) WHERE stopped_at IS NULL;
CREATE INDEX weigh_ins_at ON weigh_ins (at);
CREATE INDEX rounds_walked ON rounds (walked_to);
CREATE INDEX due_rounds_closes ON due_rounds (closes_at);
CREATE INDEX boxes_placed ON boxes (placed_at);

GRANT SELECT, INSERT ON day_closes, drawer_recounts TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 41';
