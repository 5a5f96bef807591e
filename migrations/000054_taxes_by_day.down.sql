DROP TABLE tax_rates;

COMMENT ON SCHEMA public IS 'coldrail 53';
