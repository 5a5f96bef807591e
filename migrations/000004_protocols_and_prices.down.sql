DROP TABLE price_items, price_lists, protocols;
COMMENT ON SCHEMA public IS 'coldrail 3';
