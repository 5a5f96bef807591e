DROP TABLE loadings, room_rules;
COMMENT ON SCHEMA public IS 'coldrail 18';
