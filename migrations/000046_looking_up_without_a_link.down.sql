DROP TABLE look_up_tries;

COMMENT ON SCHEMA public IS 'coldrail 45';
