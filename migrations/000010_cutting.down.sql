DROP TABLE trim, packs, boxes, sessions_at_table, order_lines, orders;
