DROP FUNCTION blank_animal(uuid);
DROP TRIGGER append_only ON register_personal;
DROP TRIGGER append_only_whole ON register_personal;
DROP FUNCTION only_blanked();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON register_personal FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
DROP TABLE blanked, blankings, visit_shown, visits, programme_loads, programme_deer, programmes, stamps, srm_removals, disposal_loads, shares, kill_entries;

COMMENT ON SCHEMA public IS 'coldrail 48';
