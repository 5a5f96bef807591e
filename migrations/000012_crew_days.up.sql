-- When the shop cuts. A row with a weekday is the pattern (0: Sunday); a row with
-- a day counts for that day alone and outweighs the pattern. No cutters: closed.
CREATE TABLE crew_days (
  id           integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  weekday      smallint UNIQUE CHECK (weekday BETWEEN 0 AND 6),
  day          date UNIQUE,
  cutters      smallint NOT NULL CHECK (cutters BETWEEN 0 AND 20),
  size         smallint NOT NULL CHECK (size BETWEEN 0 AND 1440),   -- minutes of each cutter or of the line, or carcasses a day
  takes        text NOT NULL DEFAULT 'both' CHECK (takes IN ('both', 'game', 'livestock')),
  as_they_come boolean NOT NULL DEFAULT false,                      -- that day nothing waits to be ready
  version      integer NOT NULL DEFAULT 1 CHECK (version >= 1),
  CHECK ((weekday IS NULL) <> (day IS NULL)),
  CHECK ((cutters = 0) = (size = 0))
);
-- One person for eight hours, Monday to Saturday: common practice, no source; the
-- lead or the owner says how it really is.
INSERT INTO crew_days (weekday, cutters, size) VALUES (0, 0, 0), (1, 1, 480), (2, 1, 480), (3, 1, 480), (4, 1, 480), (5, 1, 480), (6, 1, 480);

-- Each cutter on their own, all as one line, or a count of carcasses a day.
ALTER TABLE shop ADD COLUMN crew_works text NOT NULL DEFAULT 'each' CHECK (crew_works IN ('each', 'line', 'carcasses'));

GRANT SELECT, INSERT, UPDATE ON crew_days TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 12';
