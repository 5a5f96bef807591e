-- What was typed with a look, a decision, a signature for a longer hang, another animal
-- taken first, a new rule, a line of the bill or a hand-over may hold a name, and stood on
-- the time line itself. It goes beside it, as the reasons of migrations 73 and 74 did.
INSERT INTO typed_reasons (act, animal_id, why)
  SELECT act, animal_id, why FROM (SELECT act, animal_id, btrim(CASE
      WHEN what = 'look' OR what IN ('sign-owner', 'sign-extend', 'sign-weekly', 'sign-end') THEN detail->>'note' WHEN what = 'decide' THEN detail->>'reason'
      WHEN what = 'start' THEN detail->>'not the first' WHEN what = 'rejudge' THEN detail->>'why' WHEN what = 'hand-over' THEN detail->>'still to come'
      WHEN what IN ('charge', 'give-line') THEN detail->>'line' END) AS why FROM time_line WHERE animal_id IS NOT NULL) typed
  WHERE why <> ''
  ON CONFLICT (act) DO UPDATE SET why = excluded.why || '; ' || typed_reasons.why;
ALTER TABLE time_line DISABLE TRIGGER append_only;
UPDATE time_line SET detail = detail - 'note' WHERE what IN ('look', 'sign-owner', 'sign-extend', 'sign-weekly', 'sign-end') AND detail ? 'note';
UPDATE time_line SET detail = detail - 'reason' WHERE what = 'decide' AND detail ? 'reason';
UPDATE time_line SET detail = detail - 'not the first' WHERE what = 'start' AND detail ? 'not the first';
UPDATE time_line SET detail = detail - 'why' WHERE what IN ('rejudge', 'rule-for-all') AND detail ? 'why';
UPDATE time_line SET detail = detail || '{"still to come": true}' WHERE what = 'hand-over' AND detail ? 'still to come';
UPDATE time_line SET detail = detail - 'line' WHERE what IN ('charge', 'give-line') AND detail ? 'line';
UPDATE time_line SET detail = detail - 'why' WHERE what = 'drop-booking' AND detail ? 'why'; -- it stands in the booking
ALTER TABLE time_line ENABLE TRIGGER append_only;

-- It goes with the names, and so does what stands in rows of its own: notes of looks,
-- orders, trim, pieces, samples and people, lines added to a bill, what was left here,
-- and what was said when a booking fell through.
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
  UPDATE handovers SET collector = '(blanked)', seen = '', strokes = '', balance_why = CASE balance_why WHEN '' THEN '' ELSE '(blanked)' END,
    remains = CASE WHEN remains ~ '^([0-9]+ of [0-9]+ boxes)?$' THEN remains ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE handover_corrections SET collector = '(blanked)', seen = '', why = '(blanked)' WHERE handover_id IN (SELECT id FROM handovers WHERE animal_id = of_animal);
  UPDATE charges SET why = '(blanked)' WHERE animal_id = of_animal AND why <> '';
  UPDATE charges SET label = '(blanked)' WHERE animal_id = of_animal AND code IN ('extra', 'credit');
  UPDATE payments SET why = CASE why WHEN '' THEN '' ELSE '(blanked)' END, payer = CASE payer WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE batches SET accepted_why = CASE accepted_why WHEN '' THEN '' ELSE '(blanked)' END, ended_why = CASE ended_why WHEN '' THEN '' ELSE '(blanked)' END,
    odd_to = CASE odd_to WHEN '' THEN '' ELSE '(blanked)' END WHERE id IN (SELECT batch_id FROM batch_inputs WHERE animal_id = of_animal);
  UPDATE prints SET why = '(blanked)' WHERE animal_id = of_animal AND why <> '';
  UPDATE occupancies SET reason = '(blanked)' WHERE animal_id = of_animal AND reason <> '';
  UPDATE pieces SET taken_by = '(blanked)', strokes = '' WHERE animal_id = of_animal AND taken_by <> '';
  UPDATE pieces SET instruction = '(blanked)' WHERE animal_id = of_animal AND instruction <> '';
  UPDATE orders SET for_whom = '', caller = '', note = CASE note WHEN '' THEN '' ELSE '(blanked)' END, fall_back = CASE fall_back WHEN '' THEN '' ELSE '(blanked)' END,
    days_why = CASE days_why WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal;
  UPDATE looks SET note = '(blanked)' WHERE animal_id = of_animal AND note <> '';
  UPDATE decisions SET reason = '(blanked)' WHERE animal_id = of_animal;
  UPDATE hang_signatures SET note = '(blanked)' WHERE animal_id = of_animal;
  UPDATE sessions_at_table SET why_not_next = '(blanked)' WHERE animal_id = of_animal AND why_not_next <> '';
  UPDATE trim SET note = '(blanked)' WHERE animal_id = of_animal AND note <> '';
  UPDATE samples SET source = split_part(source, '; ', 1) WHERE animal_id = of_animal;
  UPDATE left_things SET what = '(blanked)' WHERE animal_id = of_animal;
  UPDATE official_tags SET repeat_why = '(blanked)' WHERE animal_id = of_animal AND repeat_why <> '';
  UPDATE animal_people SET note = '(blanked)' WHERE animal_id = of_animal AND note <> '';
  UPDATE animals SET door_note = CASE door_note WHEN '' THEN '' ELSE '(blanked)' END, keeps = CASE keeps WHEN '' THEN '' ELSE '(blanked)' END WHERE id = of_animal;
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
  UPDATE bookings SET name = '(blanked)', phone = '', note = '', why = CASE why WHEN '' THEN '' ELSE '(blanked)' END WHERE id = (SELECT booking_id FROM animals WHERE id = of_animal)
    AND NOT EXISTS (SELECT FROM animals o WHERE o.booking_id = bookings.id AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = o.id));
  UPDATE night_finds SET reads = '', phone = '', note = '', settled = CASE settled WHEN '' THEN '' ELSE '(blanked)' END WHERE animal_id = of_animal
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
    UPDATE bookings SET name = '(blanked)', phone = '', note = '', why = CASE why WHEN '' THEN '' ELSE '(blanked)' END WHERE id = of_paper;
  END IF;
END
$$;

COMMENT ON SCHEMA public IS 'coldrail 80';
