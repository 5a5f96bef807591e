-- How old cattle are stands with their kill, no longer with an order.
ALTER TABLE orders DROP COLUMN thirty_months;

COMMENT ON SCHEMA public IS 'coldrail 64';
