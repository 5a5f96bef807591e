DROP TABLE decisions, rail_surfaces, look_moulds, looks, rail_counts, rounds, due_rounds;
COMMENT ON SCHEMA public IS 'coldrail 7';
