DROP TABLE tag_moves, notices;

COMMENT ON SCHEMA public IS 'coldrail 30';
