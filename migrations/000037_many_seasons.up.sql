-- A shop of many seasons asks for the sessions of one animal and the looks of one
-- round, not for all of them.
CREATE INDEX sessions_animal ON sessions_at_table (animal_id);
CREATE INDEX looks_round ON looks (round_id) WHERE round_id IS NOT NULL;

COMMENT ON SCHEMA public IS 'coldrail 37';
