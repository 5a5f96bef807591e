ALTER TABLE shop DROP CONSTRAINT shop_language;
ALTER TABLE staff DROP COLUMN language;

COMMENT ON SCHEMA public IS 'coldrail 52';
