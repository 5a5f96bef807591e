DROP TRIGGER tell_changed ON time_line;
DROP FUNCTION tell_changed();

COMMENT ON SCHEMA public IS 'coldrail 35';
