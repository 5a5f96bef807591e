ALTER TABLE time_line DISABLE TRIGGER append_only;
UPDATE time_line t SET detail = t.detail || jsonb_build_object('asked', v.asked) FROM visits v WHERE t.what = 'visit' AND v.id = t.act;
UPDATE time_line t SET detail = t.detail || jsonb_build_object('shown', w.what) FROM visit_shown w WHERE t.what = 'visit-shown' AND w.id = t.act;
UPDATE time_line t SET detail = t.detail || jsonb_build_object('found', v.findings) FROM visits v WHERE t.what = 'visit-ended' AND v.ended_at = t.at AND v.ended_by = t.by_staff;
ALTER TABLE time_line ENABLE TRIGGER append_only;

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

-- Their words are gone all the same; the approval itself stands in blankings.
ALTER TABLE blanked_papers DISABLE TRIGGER append_only;
DELETE FROM blanked_papers WHERE kind IN ('visit', 'given-up');
ALTER TABLE blanked_papers ENABLE TRIGGER append_only;
ALTER TABLE blanked_papers DROP CONSTRAINT blanked_papers_kind_check;
ALTER TABLE blanked_papers ADD CONSTRAINT blanked_papers_kind_check CHECK (kind IN ('refusal', 'find', 'booking'));

COMMENT ON SCHEMA public IS 'coldrail 80';
