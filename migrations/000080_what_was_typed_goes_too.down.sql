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
  UPDATE handovers SET collector = '(blanked)', seen = '', strokes = '', balance_why = CASE balance_why WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE handover_corrections SET collector = '(blanked)', seen = '', why = '(blanked)' WHERE handover_id IN (SELECT id FROM handovers WHERE animal_id = of_animal);
  UPDATE charges SET why = '(blanked)' WHERE animal_id = of_animal AND why <> '';
  UPDATE payments SET why = CASE why WHEN '' THEN '' ELSE '(blanked)' END, payer = CASE payer WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE batches SET accepted_why = CASE accepted_why WHEN '' THEN '' ELSE '(blanked)' END, ended_why = CASE ended_why WHEN '' THEN '' ELSE '(blanked)' END
    WHERE id IN (SELECT batch_id FROM batch_inputs WHERE animal_id = of_animal);
  UPDATE prints SET why = '(blanked)' WHERE animal_id = of_animal AND why <> '';
  UPDATE occupancies SET reason = '(blanked)' WHERE animal_id = of_animal AND reason <> '';
  UPDATE pieces SET taken_by = '(blanked)', strokes = '' WHERE animal_id = of_animal AND taken_by <> '';
  UPDATE orders SET for_whom = '', caller = '' WHERE animal_id = of_animal;
  UPDATE contacts SET note = '' WHERE animal_id = of_animal;
  UPDATE shares SET name = '(blanked)', phone = '', evidence = '(blanked)' WHERE animal_id = of_animal;
  UPDATE kill_entries SET said_by = '(blanked)', note = CASE note WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE kill_corrections SET why = '(blanked)', note = CASE note WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE programme_deer SET signer = '(blanked)', strokes = '' WHERE animal_id = of_animal;
  UPDATE donations SET recipient = '(blanked)', address = '', signer = '(blanked)', strokes = '', why = '(blanked)' WHERE animal_id = of_animal;
  UPDATE messages SET address = '', words = '', wrong = '' WHERE animal_id = of_animal;
  UPDATE tag_moves SET note = CASE note WHEN '' THEN '' ELSE '(blanked)' END, signer = CASE signer WHEN '' THEN '' ELSE '(blanked)' END, strokes = ''
    WHERE tag_id IN (SELECT id FROM official_tags WHERE animal_id = of_animal);
  UPDATE holds SET reason = '(blanked)', evidence = CASE WHEN evidence <> '' THEN '(blanked)' ELSE evidence END WHERE animal_id = of_animal;
  UPDATE notices SET how = CASE how WHEN '' THEN '' ELSE '(blanked)' END, wrong_why = CASE wrong_why WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE storage_approvals SET why = '(blanked)', ended_why = CASE WHEN ended_why <> '' THEN '(blanked)' ELSE ended_why END WHERE animal_id = of_animal;
  UPDATE told_at_door SET weather = CASE weather WHEN '' THEN '' ELSE '(blanked)' END, earlier_sample = CASE earlier_sample WHEN '' THEN '' ELSE '(blanked)' END
    WHERE animal_id = of_animal;
  UPDATE typed_reasons SET why = '(blanked)' WHERE animal_id = of_animal;
  UPDATE bookings SET name = '(blanked)', phone = '', note = '' WHERE id = (SELECT booking_id FROM animals WHERE id = of_animal)
    AND NOT EXISTS (SELECT FROM animals o WHERE o.booking_id = bookings.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = o.id));
  UPDATE night_finds SET reads = '', phone = '' WHERE animal_id = of_animal
    OR id IN (SELECT card_id FROM night_finds WHERE animal_id = of_animal);
  DELETE FROM door_photos WHERE animal_id = of_animal OR find_id IN (SELECT id FROM night_finds WHERE animal_id = of_animal
    UNION ALL SELECT card_id FROM night_finds WHERE animal_id = of_animal AND card_id IS NOT NULL);
  DELETE FROM photos WHERE look_id IN (SELECT id FROM looks WHERE animal_id = of_animal);
  UPDATE people SET name = '(blanked)', phone = '', second_phone = '', address = '', licence = '', call_when = '', mail = ''
    WHERE id IN (SELECT person_id FROM animal_people WHERE animal_id = of_animal)
      AND NOT EXISTS (SELECT FROM animal_people ap WHERE ap.person_id = people.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = ap.animal_id));
  RETURN fields;
END
$$;

CREATE OR REPLACE FUNCTION blank_paper(of_kind text, of_paper uuid) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
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

ALTER TABLE time_line DISABLE TRIGGER append_only;
UPDATE time_line t SET detail = t.detail || jsonb_build_object(CASE t.what WHEN 'decide' THEN 'reason' WHEN 'start' THEN 'not the first' WHEN 'rejudge' THEN 'why'
    WHEN 'hand-over' THEN 'still to come' WHEN 'charge' THEN 'line' WHEN 'give-line' THEN 'line' ELSE 'note' END, r.why)
  FROM typed_reasons r WHERE r.act = t.act AND (t.what IN ('look', 'sign-owner', 'sign-extend', 'sign-weekly', 'sign-end', 'decide', 'start', 'rejudge', 'give-line', 'charge')
    OR t.what = 'hand-over' AND t.detail ? 'still to come');
ALTER TABLE time_line ENABLE TRIGGER append_only;
DELETE FROM typed_reasons r USING time_line t WHERE t.act = r.act AND (t.what IN ('look', 'sign-owner', 'sign-extend', 'sign-weekly', 'sign-end', 'decide', 'start', 'rejudge', 'give-line', 'charge')
    OR t.what = 'hand-over' AND t.detail ? 'still to come');

COMMENT ON SCHEMA public IS 'coldrail 79';
