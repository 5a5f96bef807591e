ALTER TABLE payments DROP COLUMN portion, DROP COLUMN payer;
DROP TABLE charge_shares;

COMMENT ON SCHEMA public IS 'coldrail 41';
