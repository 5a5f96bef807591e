ALTER TABLE boxes DROP COLUMN handover_id;
DROP TABLE contacts, handovers, payments, charges;
COMMENT ON SCHEMA public IS 'coldrail 10';
