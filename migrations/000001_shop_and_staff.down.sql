-- The role stays: another database of the cluster may use it.
DROP TABLE sessions, devices, staff, secrets, shop;
REVOKE USAGE ON SCHEMA public FROM coldrail_app;
COMMENT ON SCHEMA public IS 'coldrail 0';
