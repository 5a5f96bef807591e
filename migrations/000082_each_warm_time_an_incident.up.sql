-- A room whose old incident nobody had closed opened no new one when it grew warm again:
-- one may run in a room at a time, any number may wait to be closed.
DROP INDEX one_open_incident_a_room;
CREATE UNIQUE INDEX one_running_incident_a_room ON incidents (cooler_id) WHERE ended_at IS NULL;

-- What nobody looked up again is called that, as everywhere else in the shop.
UPDATE statutes SET cites = '9 CFR 303.1 and 320.1, text not checked'
  WHERE key = 'any-register-livestock' AND by_staff IS NULL AND cites = '9 CFR 303.1 and 320.1, partly from memory';

COMMENT ON SCHEMA public IS 'coldrail 82';
