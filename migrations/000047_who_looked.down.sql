DROP TABLE private_looks;

COMMENT ON SCHEMA public IS 'coldrail 46';
