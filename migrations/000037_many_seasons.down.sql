DROP INDEX looks_round, sessions_animal;

COMMENT ON SCHEMA public IS 'coldrail 36';
