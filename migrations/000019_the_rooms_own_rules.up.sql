-- When a room counts as too warm, and at what times of day its coil is defrosted.
-- A row is added at each change and none is altered: readings are judged by the
-- rules of their own time. Until the first row the program's usual limits count.
CREATE TABLE room_rules (
  id         uuid PRIMARY KEY,
  cooler_id  smallint NOT NULL REFERENCES coolers,
  warm_c     double precision NOT NULL CHECK (warm_c BETWEEN -40 AND 60),
  warm_min   smallint NOT NULL CHECK (warm_min BETWEEN 0 AND 1440),
  too_warm_c double precision NOT NULL CHECK (too_warm_c >= warm_c),
  too_warm_min smallint NOT NULL CHECK (too_warm_min BETWEEN 0 AND 1440),
  far_too_c  double precision NOT NULL CHECK (far_too_c BETWEEN too_warm_c AND 60),
  defrosts   smallint[] NOT NULL CHECK (0 <= ALL (defrosts) AND 1440 > ALL (defrosts)),  -- minutes after midnight, by the shop's clock
  reason     text NOT NULL,                          -- never empty where anything is looser than usual
  at         timestamptz NOT NULL,
  by_staff   uuid NOT NULL REFERENCES staff
);
CREATE INDEX room_rules_of ON room_rules (cooler_id, at);

-- A time in which the door stands open for loading.
CREATE TABLE loadings (
  id        uuid PRIMARY KEY,
  cooler_id smallint NOT NULL REFERENCES coolers,
  begins_at timestamptz NOT NULL,
  ends_at   timestamptz NOT NULL CHECK (ends_at > begins_at AND ends_at <= begins_at + interval '1 hour'),
  by_staff  uuid NOT NULL REFERENCES staff
);
CREATE INDEX loadings_of ON loadings (cooler_id, begins_at);

GRANT SELECT, INSERT ON room_rules, loadings TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 19';
