DROP TABLE places, rails, coolers;
COMMENT ON SCHEMA public IS 'coldrail 1';
