DROP TABLE price_items, price_lists, protocols;
