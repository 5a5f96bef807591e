DROP TABLE trim, packs, boxes, sessions_at_table, order_lines, orders;
COMMENT ON SCHEMA public IS 'coldrail 9';
