-- After many seasons few of the occupancies are still open, and few began this week.
CREATE INDEX occupancies_open_place ON occupancies (place_id) WHERE until IS NULL;
CREATE INDEX occupancies_since ON occupancies (since);
CREATE INDEX occupancies_until ON occupancies (until) WHERE until IS NOT NULL;

COMMENT ON SCHEMA public IS 'coldrail 38';
