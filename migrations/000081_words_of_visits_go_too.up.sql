-- What a visitor asked for, was shown and found may name an owner, and so may a form
-- given up on a tablet: it is kept by the same rules and goes by the same list as other
-- papers. Who of which agency came and when, and that something was given up, stays.
ALTER TABLE blanked_papers DROP CONSTRAINT blanked_papers_kind_check;
ALTER TABLE blanked_papers ADD CONSTRAINT blanked_papers_kind_check CHECK (kind IN ('refusal', 'find', 'booking', 'visit', 'given-up'));

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
  ELSIF of_kind = 'visit' THEN
    UPDATE visits SET asked = '(blanked)', findings = '(blanked)' WHERE id = of_paper;
    UPDATE visit_shown SET what = '(blanked)' WHERE visit_id = of_paper;
  ELSIF of_kind = 'given-up' THEN
    UPDATE discarded SET said = '', fields = '{}', reason = '(blanked)' WHERE act = of_paper;
  ELSE
    UPDATE bookings SET name = '(blanked)', phone = '', note = '', why = CASE why WHEN '' THEN '' ELSE '(blanked)' END WHERE id = of_paper;
  END IF;
END
$$;

-- The words of a visit stand with the visit; on the time line nothing could take them out.
ALTER TABLE time_line DISABLE TRIGGER append_only;
UPDATE time_line SET detail = detail - 'asked' - 'shown' - 'found' WHERE what IN ('visit', 'visit-shown', 'visit-ended');
ALTER TABLE time_line ENABLE TRIGGER append_only;

COMMENT ON SCHEMA public IS 'coldrail 81';
