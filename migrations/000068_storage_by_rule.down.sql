DROP TABLE storage_approvals;
DROP TABLE storage_rules;

COMMENT ON SCHEMA public IS 'coldrail 67';
