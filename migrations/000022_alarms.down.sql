DROP TABLE alarm_messages, alarms, alarm_settings;
COMMENT ON SCHEMA public IS 'coldrail 21';
