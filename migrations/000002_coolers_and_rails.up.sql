-- Rooms that hold animals or boxes, and the heat numbers behind "if cooling
-- stops now". NULL heat numbers mean: not measured, use the model's defaults.
CREATE TABLE coolers (
  id           smallint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  name         text NOT NULL UNIQUE CHECK (name ~ '^[a-z0-9-]+$'),   -- as in the address of its page
  label        text NOT NULL,
  kind         text NOT NULL CHECK (kind IN ('cooler', 'freezer')),
  length_m     double precision NOT NULL CHECK (length_m BETWEEN 1 AND 100),
  width_m      double precision NOT NULL CHECK (width_m BETWEEN 1 AND 100),
  height_m     double precision NOT NULL CHECK (height_m BETWEEN 1.5 AND 12),
  panel        text NOT NULL DEFAULT 'polyurethane' CHECK (panel IN ('polyurethane', 'polystyrene')),
  ua_w_per_k   double precision CHECK (ua_w_per_k BETWEEN 0.5 AND 2000),
  air_kj_per_k double precision CHECK (air_kj_per_k BETWEEN 1 AND 100000),
  fans         smallint NOT NULL DEFAULT 0 CHECK (fans BETWEEN 0 AND 50),
  fan_w        double precision NOT NULL DEFAULT 0 CHECK (fan_w BETWEEN 0 AND 20000),  -- all of them together
  outside_c    double precision NOT NULL DEFAULT 25 CHECK (outside_c BETWEEN -40 AND 60),
  readings_kept bigint NOT NULL DEFAULT 0           -- how many good readings the room has: tells what is remembered of it from what is new
);

CREATE TABLE rails (
  id        smallint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  cooler_id smallint NOT NULL REFERENCES coolers,
  name      text NOT NULL CHECK (name <> ''),       -- R1
  ord       smallint NOT NULL,                      -- from the door
  kind      text NOT NULL CHECK (kind IN ('bare', 'hide-on', 'livestock', 'hold', 'shelf')),
  length_m  double precision NOT NULL CHECK (length_m BETWEEN 0.3 AND 100),
  UNIQUE (cooler_id, name), UNIQUE (cooler_id, ord)
);

-- A place is a hook on a rail or a spot on a shelf; position counts from the door.
CREATE TABLE places (
  id         integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  rail_id    smallint NOT NULL REFERENCES rails,
  position   smallint NOT NULL CHECK (position BETWEEN 1 AND 400),
  in_service boolean NOT NULL DEFAULT true,
  UNIQUE (rail_id, position)
);

GRANT SELECT, INSERT, UPDATE ON coolers, rails, places TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 2';
