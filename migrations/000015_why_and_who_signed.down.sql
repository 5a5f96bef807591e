DROP TABLE number_choices;
DROP TABLE hang_signatures;
ALTER TABLE protocols DROP CONSTRAINT a_new_version_says_why;
ALTER TABLE protocols DROP COLUMN why;

COMMENT ON SCHEMA public IS 'coldrail 14';
