-- A time in which a room was too warm by the rule, or a person said so.
CREATE TABLE incidents (
  id        uuid PRIMARY KEY,
  cooler_id smallint NOT NULL REFERENCES coolers,
  began_at  timestamptz NOT NULL,                   -- the air passed the limit on its way up
  called_at timestamptz NOT NULL,                   -- the rule called
  opened_at timestamptz NOT NULL,                   -- the program knew: later where a file came late
  ended_at  timestamptz,                            -- the air was back
  closed_at timestamptz,
  closed_by uuid REFERENCES staff,
  found     text NOT NULL DEFAULT '',               -- what was wrong and what was done, in the words of who closed it
  CHECK (began_at <= called_at),
  CHECK ((closed_at IS NULL) = (closed_by IS NULL)),
  CHECK (closed_at IS NULL OR ended_at IS NOT NULL AND found <> '')
);
CREATE UNIQUE INDEX one_open_incident_a_room ON incidents (cooler_id) WHERE closed_at IS NULL;
CREATE INDEX incidents_room ON incidents (cooler_id, began_at);

-- The meat readings an incident asks for.
CREATE TABLE incident_meat (
  id          uuid PRIMARY KEY,
  incident_id uuid NOT NULL REFERENCES incidents,
  place       text NOT NULL CHECK (place IN ('old', 'new', 'door', 'middle', 'far')),
  animal_id   uuid REFERENCES animals,
  c           double precision NOT NULL CHECK (c BETWEEN -40 AND 60),
  at          timestamptz NOT NULL,
  by_staff    uuid NOT NULL REFERENCES staff
);
CREATE INDEX incident_meat_incident ON incident_meat (incident_id, at);

-- The animals an incident set to stop, and why.
CREATE TABLE incident_stops (
  incident_id uuid NOT NULL REFERENCES incidents,
  animal_id   uuid NOT NULL REFERENCES animals,
  at          timestamptz NOT NULL,
  why         text NOT NULL CHECK (why <> ''),
  PRIMARY KEY (incident_id, animal_id)
);
CREATE INDEX incident_stops_animal ON incident_stops (animal_id, at);

GRANT SELECT, INSERT, UPDATE ON incidents TO coldrail_app;
GRANT SELECT, INSERT ON incident_meat, incident_stops TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 14';
