DROP TABLE register_personal, register, time_line;
DROP FUNCTION refuse_change();
COMMENT ON SCHEMA public IS 'coldrail 5';
