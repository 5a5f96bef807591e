ALTER TABLE orders ADD COLUMN thirty_months text NOT NULL DEFAULT '' CHECK (thirty_months IN ('', 'yes', 'no'));

COMMENT ON SCHEMA public IS 'coldrail 63';
