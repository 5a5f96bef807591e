-- The language somebody reads the screens in; empty: the shop's.
ALTER TABLE staff ADD COLUMN language text NOT NULL DEFAULT '' CHECK (language IN ('', 'en', 'es-US'));
ALTER TABLE shop ADD CONSTRAINT shop_language CHECK (language IN ('en', 'es-US'));

COMMENT ON SCHEMA public IS 'coldrail 53';
