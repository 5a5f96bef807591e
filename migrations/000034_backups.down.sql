DROP TABLE backups;
DROP TABLE backup_settings;

COMMENT ON SCHEMA public IS 'coldrail 33';
