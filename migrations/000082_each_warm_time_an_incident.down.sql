-- None of them is closed by a program nor lost: somebody closes them first.
DO $$
BEGIN
  IF EXISTS (SELECT FROM incidents WHERE closed_at IS NULL GROUP BY cooler_id HAVING count(*) > 1) THEN
    RAISE EXCEPTION 'a room has more than one incident that is not closed: close all but one, then step back';
  END IF;
END
$$;
DROP INDEX one_running_incident_a_room;
CREATE UNIQUE INDEX one_open_incident_a_room ON incidents (cooler_id) WHERE closed_at IS NULL;

UPDATE statutes SET cites = '9 CFR 303.1 and 320.1, partly from memory'
  WHERE key = 'any-register-livestock' AND by_staff IS NULL AND cites = '9 CFR 303.1 and 320.1, text not checked';

COMMENT ON SCHEMA public IS 'coldrail 81';
