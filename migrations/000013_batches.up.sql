-- A mix made together: whose meat went in, what was added, the cure, the house,
-- the way down, what came out, and whose it is.
CREATE TABLE batches (
  id          uuid PRIMARY KEY,
  number      integer NOT NULL UNIQUE CHECK (number >= 1),
  product     text NOT NULL CHECK (product <> ''),
  flavour     text NOT NULL DEFAULT '',
  kind        text NOT NULL CHECK (kind IN ('own', 'pooled')),
  pork        boolean NOT NULL,                     -- asked and answered, never left blank
  beef        boolean NOT NULL,
  status      text NOT NULL CHECK (status IN ('open', 'mixed', 'finished', 'given', 'destroyed')),
  started_at  timestamptz NOT NULL,
  started_by  uuid NOT NULL REFERENCES staff,
  mixed_at    timestamptz,
  accepted_by uuid REFERENCES staff,                -- the lead's word where cook or cool missed its table
  accepted_why text NOT NULL DEFAULT '',
  finished_at timestamptz,
  packs       integer CHECK (packs BETWEEN 1 AND 5000),
  packed_kg   double precision CHECK (packed_kg > 0),
  odd_kg      double precision CHECK (odd_kg >= 0), -- what was left beside the whole packs
  odd_to      text NOT NULL DEFAULT '',             -- and where it went
  ended_why   text NOT NULL DEFAULT '',
  ended_with  uuid REFERENCES staff,                -- the second person where it was destroyed
  CHECK ((finished_at IS NULL) = (packs IS NULL) AND (packs IS NULL) = (packed_kg IS NULL) AND (packs IS NULL) = (odd_kg IS NULL)),
  CHECK ((accepted_by IS NULL) = (accepted_why = '')),
  CHECK (status <> 'destroyed' OR ended_why <> '' AND ended_with IS NOT NULL)
);
CREATE INDEX batches_open ON batches (started_at) WHERE status NOT IN ('given', 'destroyed');

CREATE TABLE batch_inputs (
  id        uuid PRIMARY KEY,
  batch_id  uuid NOT NULL REFERENCES batches,
  animal_id uuid NOT NULL REFERENCES animals,
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX batch_inputs_batch ON batch_inputs (batch_id);
CREATE INDEX batch_inputs_animal ON batch_inputs (animal_id);

-- Pork and beef that the shop adds, from an inspected source.
CREATE TABLE batch_lots (
  id        uuid PRIMARY KEY,
  batch_id  uuid NOT NULL REFERENCES batches,
  kind      text NOT NULL CHECK (kind IN ('pork', 'beef')),
  supplier  text NOT NULL CHECK (supplier <> ''),
  mark      text NOT NULL CHECK (mark <> ''),       -- of the establishment
  lot       text NOT NULL DEFAULT '',
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX batch_lots_batch ON batch_lots (batch_id);

-- Each reckoning as it was weighed; the newest counts.
CREATE TABLE batch_cures (
  id        uuid PRIMARY KEY,
  batch_id  uuid NOT NULL REFERENCES batches,
  method    text NOT NULL CHECK (method <> ''),
  meat_kg   double precision NOT NULL,              -- with what was added, as it stood then
  cure_g    double precision NOT NULL,
  fraction  double precision NOT NULL,
  pickle_kg double precision,
  pick_up   double precision,
  lot       text NOT NULL CHECK (lot <> ''),
  ppm       double precision NOT NULL,
  verdict   text NOT NULL CHECK (verdict IN ('ok', 'over')),
  why       text NOT NULL DEFAULT '',
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  second    uuid NOT NULL REFERENCES staff,
  CHECK (second <> by_staff),
  CHECK (verdict <> 'over' OR why <> '')
);
CREATE INDEX batch_cures_batch ON batch_cures (batch_id);

-- The inside of the batch, at its thickest, by two probes.
CREATE TABLE batch_probes (
  id        uuid PRIMARY KEY,
  batch_id  uuid NOT NULL REFERENCES batches,
  at        timestamptz NOT NULL,
  low_c     double precision NOT NULL CHECK (low_c BETWEEN -40 AND 100),
  high_c    double precision NOT NULL CHECK (high_c BETWEEN -40 AND 100 AND high_c >= low_c),
  house_c   double precision CHECK (house_c BETWEEN -40 AND 210),
  wet_c     double precision CHECK (wet_c BETWEEN -40 AND 210),
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX batch_probes_batch ON batch_probes (batch_id, at);

CREATE TABLE batch_shares (
  batch_id  uuid NOT NULL REFERENCES batches,
  animal_id uuid NOT NULL REFERENCES animals,
  input_kg  double precision NOT NULL CHECK (input_kg > 0),
  exact_kg  double precision NOT NULL CHECK (exact_kg > 0),
  packs     integer NOT NULL CHECK (packs >= 0),
  given_at  timestamptz,
  PRIMARY KEY (batch_id, animal_id)
);

ALTER TABLE packs ADD COLUMN batch_id uuid REFERENCES batches;

CREATE TABLE machines (
  id   smallint PRIMARY KEY,
  name text NOT NULL UNIQUE
);
INSERT INTO machines (id, name) VALUES (1, 'saw'), (2, 'grinder'), (3, 'mixer'), (4, 'stuffer'), (5, 'slicer'), (6, 'smokehouse');

-- What went through a machine, and its clean-outs, in order.
CREATE TABLE machine_runs (
  id         uuid PRIMARY KEY,
  machine_id smallint NOT NULL REFERENCES machines,
  batch_id   uuid REFERENCES batches,
  animal_id  uuid REFERENCES animals,
  clean      text NOT NULL DEFAULT '' CHECK (clean IN ('', 'rinse', 'full', 'prion')),
  why        text NOT NULL DEFAULT '',
  at         timestamptz NOT NULL,
  by_staff   uuid NOT NULL REFERENCES staff,
  CHECK (num_nonnulls(batch_id, animal_id) = CASE clean WHEN '' THEN 1 ELSE 0 END)
);
CREATE INDEX machine_runs_order ON machine_runs (machine_id, at);

GRANT SELECT, INSERT, UPDATE ON batches, batch_shares TO coldrail_app;
-- What was weighed into a batch by a slip is taken out again before it is mixed;
-- the time line keeps both.
GRANT SELECT, INSERT, DELETE ON batch_inputs TO coldrail_app;
GRANT SELECT, INSERT ON batch_lots, batch_cures, batch_probes, machine_runs TO coldrail_app;
GRANT SELECT ON machines TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 13';
