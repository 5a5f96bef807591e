DROP TABLE told_at_door;

COMMENT ON SCHEMA public IS 'coldrail 69';
