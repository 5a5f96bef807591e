-- Names that stand beside no animal are kept by the same rules and go by the same list:
-- who was turned away, what lay in the bay and came to nothing, bookings nobody came
-- for. The line of what happened stays.
CREATE TABLE blanked_papers (
  kind        text NOT NULL CHECK (kind IN ('refusal', 'find', 'booking')),
  paper_id    uuid NOT NULL,
  blanking_id uuid NOT NULL REFERENCES blankings,
  kept_until  timestamptz NOT NULL,
  rule        text NOT NULL CHECK (rule <> ''),
  PRIMARY KEY (kind, paper_id)
);
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON blanked_papers FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
GRANT SELECT, INSERT ON blanked_papers TO coldrail_app;

-- blank_paper takes the personal things of one of them away, once its row in
-- blanked_papers stands, no visit is open and the question of the bay is settled.
CREATE FUNCTION blank_paper(of_kind text, of_paper uuid) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
BEGIN
  IF NOT EXISTS (SELECT FROM blanked_papers WHERE kind = of_kind AND paper_id = of_paper)
     OR EXISTS (SELECT FROM visits WHERE ended_at IS NULL)
     OR of_kind = 'find' AND EXISTS (SELECT FROM night_finds WHERE id = of_paper AND settled_at IS NULL) THEN
    RAISE EXCEPTION 'not approved, or something about it is open' USING ERRCODE = 'insufficient_privilege';
  END IF;
  IF of_kind = 'refusal' THEN
    UPDATE refusals SET name = '(blanked)', phone = '', tag = '', said = '' WHERE id = of_paper;
    DELETE FROM door_photos WHERE refusal_id = of_paper;
  ELSIF of_kind = 'find' THEN
    UPDATE night_finds SET reads = '(blanked)', phone = '', tag = '', note = '', settled = '(blanked)' WHERE id = of_paper;
    DELETE FROM door_photos WHERE find_id = of_paper;
  ELSE
    UPDATE bookings SET name = '(blanked)', phone = '', note = '' WHERE id = of_paper;
  END IF;
END
$$;
REVOKE EXECUTE ON FUNCTION blank_paper(text, uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION blank_paper(text, uuid) TO coldrail_app;

-- With an animal's names the pictures taken of it at its looks and in the bay go too; a
-- booking only with the last of its animals.
CREATE OR REPLACE FUNCTION blank_animal(of_animal uuid) RETURNS integer LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
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
  UPDATE bookings SET name = '(blanked)', phone = '', note = '' WHERE id = (SELECT booking_id FROM animals WHERE id = of_animal)
    AND NOT EXISTS (SELECT FROM animals o WHERE o.booking_id = bookings.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = o.id));
  UPDATE night_finds SET reads = '', phone = '' WHERE animal_id = of_animal
    OR id IN (SELECT card_id FROM night_finds WHERE animal_id = of_animal);
  DELETE FROM door_photos WHERE animal_id = of_animal OR find_id IN (SELECT id FROM night_finds WHERE animal_id = of_animal
    UNION ALL SELECT card_id FROM night_finds WHERE animal_id = of_animal AND card_id IS NOT NULL);
  DELETE FROM photos WHERE look_id IN (SELECT id FROM looks WHERE animal_id = of_animal);
  UPDATE people SET name = '(blanked)', phone = '', second_phone = '', address = '', licence = '', call_when = ''
    WHERE id IN (SELECT person_id FROM animal_people WHERE animal_id = of_animal)
      AND NOT EXISTS (SELECT FROM animal_people ap WHERE ap.person_id = people.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = ap.animal_id));
  RETURN fields;
END
$$;

COMMENT ON SCHEMA public IS 'coldrail 63';
