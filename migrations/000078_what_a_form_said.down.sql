DROP TABLE sent_forms;

COMMENT ON SCHEMA public IS 'coldrail 77';
