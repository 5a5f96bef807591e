DROP INDEX occupancies_until, occupancies_since, occupancies_open_place;

COMMENT ON SCHEMA public IS 'coldrail 37';
