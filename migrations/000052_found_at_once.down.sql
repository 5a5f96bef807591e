DROP INDEX time_line_finished;

COMMENT ON SCHEMA public IS 'coldrail 51';
