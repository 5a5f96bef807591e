DROP TRIGGER count_stuck ON readings;
DROP FUNCTION count_stuck();
REVOKE UPDATE (flag) ON readings FROM coldrail_app;
DROP TABLE sensor_tokens;
COMMENT ON SCHEMA public IS 'coldrail 20';
