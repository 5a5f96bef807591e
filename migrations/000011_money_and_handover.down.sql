DROP TABLE contacts, handovers, payments, charges;
COMMENT ON SCHEMA public IS 'coldrail 10';
