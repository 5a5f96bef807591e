-- The kill of livestock: how old cattle were and how that is known, and who said the
-- owners had it before the kill and eat it themselves.
CREATE TABLE kill_entries (
  animal_id     uuid PRIMARY KEY REFERENCES animals,
  thirty_months text NOT NULL CHECK (thirty_months IN ('', 'yes', 'no')),   -- '': no cattle
  known_by      text NOT NULL CHECK (known_by IN ('', 'teeth', 'papers')),
  note          text NOT NULL DEFAULT '',
  said_by       text NOT NULL CHECK (said_by <> ''),
  at            timestamptz NOT NULL,
  by_staff      uuid NOT NULL REFERENCES staff,
  CHECK ((thirty_months = '') = (known_by = ''))
);

-- Who bought which part of it, before the kill.
CREATE TABLE shares (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  portion   text NOT NULL CHECK (portion IN ('', 'L', 'R', 'L1', 'L2', 'R1', 'R2')),
  name      text NOT NULL CHECK (name <> ''),
  phone     text NOT NULL DEFAULT '',
  sold_on   date NOT NULL,
  evidence  text NOT NULL CHECK (evidence <> ''),    -- the bill of sale, the farmer's list
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  UNIQUE (animal_id, portion)
);

-- What of an animal of 30 months and more was taken out, and into which marked barrel.
CREATE TABLE srm_removals (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL UNIQUE REFERENCES animals,
  parts     text[] NOT NULL CHECK (cardinality(parts) > 0),
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 1500),
  barrel    text NOT NULL CHECK (barrel <> ''),
  denatured text NOT NULL CHECK (denatured <> ''),   -- with what
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff
);

-- NOT FOR SALE stamped on a carcass, quarter by quarter.
CREATE TABLE stamps (
  animal_id uuid NOT NULL REFERENCES animals,
  quarter   text NOT NULL CHECK (quarter IN ('LF', 'LH', 'RF', 'RH')),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  PRIMARY KEY (animal_id, quarter)
);

-- What left the shop and is no meat for anybody.
CREATE TABLE disposal_loads (
  id        uuid PRIMARY KEY,
  kind      text NOT NULL CHECK (kind IN ('bone', 'hide', 'srm', 'disease', 'spoiled', 'other')),
  kg        double precision NOT NULL CHECK (kg > 0 AND kg <= 30000),
  barrels   smallint NOT NULL DEFAULT 0 CHECK (barrels BETWEEN 0 AND 500),
  denatured text NOT NULL DEFAULT '',
  hauler    text NOT NULL CHECK (hauler <> ''),
  receipt   text NOT NULL CHECK (receipt <> ''),
  site      text NOT NULL DEFAULT '',
  left_at   timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  CHECK (kind <> 'srm' OR denatured <> '')
);
CREATE INDEX disposal_loads_left ON disposal_loads (left_at);
ALTER TABLE srm_removals ADD COLUMN load_id uuid REFERENCES disposal_loads;   -- NULL: still in its barrel

-- Programmes that give meat away, deer signed over to them, and what was delivered.
CREATE TABLE programmes (
  id           uuid PRIMARY KEY,
  name         text NOT NULL UNIQUE CHECK (name <> ''),
  registration text NOT NULL DEFAULT '',
  whole_cuts   boolean NOT NULL,                     -- it takes no ground meat
  words        text NOT NULL CHECK (words <> ''),    -- on each pack, beside NOT FOR SALE
  since        timestamptz NOT NULL,
  by_staff     uuid NOT NULL REFERENCES staff
);
CREATE TABLE programme_deer (
  animal_id    uuid PRIMARY KEY REFERENCES animals,
  programme_id uuid NOT NULL REFERENCES programmes,
  signer       text NOT NULL CHECK (signer <> ''),
  strokes      text NOT NULL DEFAULT '' CHECK (strokes ~ '^[ML0-9 ]*$' AND length(strokes) <= 20000),
  at           timestamptz NOT NULL,
  by_staff     uuid NOT NULL REFERENCES staff
);
CREATE TABLE programme_loads (
  id           uuid PRIMARY KEY,
  programme_id uuid NOT NULL REFERENCES programmes,
  kg           double precision NOT NULL CHECK (kg > 0 AND kg <= 30000),
  charity      text NOT NULL CHECK (charity <> ''),
  receipt      text NOT NULL CHECK (receipt <> ''),
  taken_by     text NOT NULL CHECK (taken_by <> ''),
  left_at      timestamptz NOT NULL,
  by_staff     uuid NOT NULL REFERENCES staff
);

-- Wardens, inspectors and others who came to see: who, what they asked, what they
-- were shown. While one is open nothing is forgotten.
CREATE TABLE visits (
  id       uuid PRIMARY KEY,
  who      text NOT NULL CHECK (who <> ''),
  agency   text NOT NULL CHECK (agency <> ''),
  asked    text NOT NULL CHECK (asked <> ''),
  began_at timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff,
  findings text NOT NULL DEFAULT '',
  due_on   date,                                     -- by when something is to be put right
  ended_at timestamptz,
  ended_by uuid REFERENCES staff,
  CHECK ((ended_at IS NULL) = (ended_by IS NULL) AND (ended_at IS NULL OR findings <> ''))
);
CREATE INDEX visits_began ON visits (began_at);
CREATE TABLE visit_shown (
  id       uuid PRIMARY KEY,
  visit_id uuid NOT NULL REFERENCES visits,
  what     text NOT NULL CHECK (what <> ''),
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);
CREATE INDEX visit_shown_visit ON visit_shown (visit_id, at);

-- What was kept long enough and blanked: an approval of the owner, animal by animal.
CREATE TABLE blankings (
  id       uuid PRIMARY KEY,
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);
CREATE TABLE blanked (
  animal_id   uuid PRIMARY KEY REFERENCES animals,
  blanking_id uuid NOT NULL REFERENCES blankings,
  kept_until  timestamptz NOT NULL,
  rule        text NOT NULL CHECK (rule <> '')       -- the one that kept it longest
);
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON blankings FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON blanked FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- Of a personal value beside the register exactly one change is let through: value
-- and salt go, and the time of it is written.
CREATE FUNCTION only_blanked() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' AND NEW.seq = OLD.seq AND NEW.field = OLD.field AND OLD.value IS NOT NULL
     AND NEW.value IS NULL AND NEW.salt IS NULL AND NEW.blanked_at IS NOT NULL THEN
    RETURN NEW;
  END IF;
  RAISE EXCEPTION '% is append-only: a value may only be blanked', TG_TABLE_NAME USING ERRCODE = 'insufficient_privilege';
END
$$;
DROP TRIGGER append_only ON register_personal;
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE ON register_personal FOR EACH ROW EXECUTE FUNCTION only_blanked();
CREATE TRIGGER append_only_whole BEFORE TRUNCATE ON register_personal FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- blank_animal takes the personal things of one animal away, once its row in blanked
-- stands and nothing about it is open. It runs with its owner's rights: the program
-- itself has none to change the register.
CREATE FUNCTION blank_animal(of_animal uuid) RETURNS integer LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
DECLARE fields integer;
BEGIN
  IF NOT EXISTS (SELECT FROM blanked WHERE animal_id = of_animal)
     OR EXISTS (SELECT FROM holds WHERE animal_id = of_animal AND closed_at IS NULL)
     OR EXISTS (SELECT FROM notices WHERE animal_id = of_animal AND sent_at IS NULL)
     OR EXISTS (SELECT FROM visits WHERE ended_at IS NULL) THEN
    RAISE EXCEPTION 'not approved, or something about it is open' USING ERRCODE = 'insufficient_privilege';
  END IF;
  UPDATE register_personal p SET value = NULL, salt = NULL, blanked_at = now() FROM register r
    WHERE r.seq = p.seq AND r.animal_id = of_animal AND p.value IS NOT NULL;
  GET DIAGNOSTICS fields = ROW_COUNT;
  UPDATE signed SET signer = '(blanked)', strokes = '' WHERE animal_id = of_animal;
  UPDATE handovers SET collector = '(blanked)', seen = '', strokes = '' WHERE animal_id = of_animal;
  UPDATE pieces SET taken_by = '(blanked)', strokes = '' WHERE animal_id = of_animal AND taken_by <> '';
  UPDATE orders SET for_whom = '', caller = '' WHERE animal_id = of_animal;
  UPDATE contacts SET note = '' WHERE animal_id = of_animal;
  UPDATE shares SET name = '(blanked)', phone = '' WHERE animal_id = of_animal;
  UPDATE kill_entries SET said_by = '(blanked)' WHERE animal_id = of_animal;
  UPDATE programme_deer SET signer = '(blanked)', strokes = '' WHERE animal_id = of_animal;
  UPDATE bookings SET name = '(blanked)', phone = '' WHERE id = (SELECT booking_id FROM animals WHERE id = of_animal);
  UPDATE night_finds SET reads = '', phone = '' WHERE animal_id = of_animal
    OR id IN (SELECT card_id FROM night_finds WHERE animal_id = of_animal);
  DELETE FROM door_photos WHERE animal_id = of_animal;
  UPDATE people SET name = '(blanked)', phone = '', second_phone = '', address = '', licence = '', call_when = ''
    WHERE id IN (SELECT person_id FROM animal_people WHERE animal_id = of_animal)
      AND NOT EXISTS (SELECT FROM animal_people ap WHERE ap.person_id = people.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = ap.animal_id));
  RETURN fields;
END
$$;
REVOKE EXECUTE ON FUNCTION blank_animal(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION blank_animal(uuid) TO coldrail_app;

GRANT SELECT, INSERT, UPDATE ON kill_entries, shares TO coldrail_app;
GRANT SELECT, INSERT, UPDATE (load_id) ON srm_removals TO coldrail_app;
GRANT SELECT, INSERT ON stamps, disposal_loads, programmes, programme_deer, programme_loads, visit_shown, blankings, blanked TO coldrail_app;
GRANT SELECT, INSERT, UPDATE (findings, due_on, ended_at, ended_by) ON visits TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 49';
