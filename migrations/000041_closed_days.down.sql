DROP INDEX boxes_placed, due_rounds_closes, rounds_walked, weigh_ins_at, sessions_open, sessions_started, packs_wrapped, charges_at, payments_at, handovers_at;
DROP TABLE drawer_recounts;
DROP TABLE day_closes;

COMMENT ON SCHEMA public IS 'coldrail 40';
