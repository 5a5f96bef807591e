-- The lines of a bill, as printed. A wrong line is answered by another with a reason.
CREATE TABLE charges (
  id          uuid PRIMARY KEY,
  animal_id   uuid NOT NULL REFERENCES animals,
  code        text NOT NULL,
  label       text NOT NULL,
  quantity    double precision NOT NULL,
  unit        text NOT NULL CHECK (unit IN ('animal', 'lb', 'each')),
  price_cents bigint NOT NULL,
  total_cents bigint NOT NULL,
  taxable     boolean NOT NULL,
  why         text NOT NULL DEFAULT '',
  at          timestamptz NOT NULL,
  by_staff    uuid NOT NULL REFERENCES staff
);
CREATE INDEX charges_animal ON charges (animal_id);

-- Receipts are numbered without gaps: the number is taken under a lock in the
-- transaction that uses it.
CREATE TABLE payments (
  id          uuid PRIMARY KEY,
  receipt     bigint NOT NULL UNIQUE CHECK (receipt >= 1),
  animal_id   uuid NOT NULL REFERENCES animals,
  purpose     text NOT NULL CHECK (purpose IN ('deposit', 'payment', 'refund')),
  way         text NOT NULL CHECK (way IN ('cash', 'check', 'card', 'other')),
  cents       bigint NOT NULL CHECK (cents <> 0 AND (purpose = 'refund') = (cents < 0)),
  why         text NOT NULL DEFAULT '',
  at          timestamptz NOT NULL,
  by_staff    uuid NOT NULL REFERENCES staff
);
CREATE INDEX payments_animal ON payments (animal_id);

-- Who took what home.
CREATE TABLE handovers (
  id           uuid PRIMARY KEY,
  animal_id    uuid NOT NULL REFERENCES animals,
  collector    text NOT NULL CHECK (collector <> ''),
  authority    text NOT NULL CHECK (authority IN ('owner', 'named by owner', 'receipt stub')),
  seen         text NOT NULL DEFAULT '',            -- what identity was shown
  tag_returned boolean NOT NULL,
  remains      text NOT NULL DEFAULT '',
  balance_cents bigint NOT NULL,                    -- still owed when it left
  balance_why  text NOT NULL DEFAULT '',            -- the lead's word for letting it go unpaid
  at           timestamptz NOT NULL,
  by_staff     uuid NOT NULL REFERENCES staff,
  CHECK (balance_cents <= 0 OR balance_why <> '')
);
CREATE INDEX handovers_animal ON handovers (animal_id);

-- Which boxes went with which hand-over.
ALTER TABLE boxes ADD COLUMN handover_id uuid REFERENCES handovers, ADD CHECK (handover_id IS NULL OR released_at IS NOT NULL);

-- Calls, texts and letters to a person about an animal.
CREATE TABLE contacts (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  way       text NOT NULL CHECK (way IN ('call', 'text', 'mail', 'in person')),
  outcome   text NOT NULL CHECK (outcome IN ('spoke', 'left word', 'no answer', 'busy', 'sent')),
  note      text NOT NULL DEFAULT '',
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX contacts_animal ON contacts (animal_id);

GRANT SELECT, INSERT ON charges, payments, handovers, contacts TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 11';
