DROP TABLE decisions, rail_surfaces, look_moulds, looks, rail_counts, rounds, due_rounds;
