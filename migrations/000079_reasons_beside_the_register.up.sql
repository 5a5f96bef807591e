-- The reason of a correction is typed by a person and may hold a name. It stands beside
-- its line from now on, sealed by its digest like the names, and goes with them.
ALTER TABLE register DROP CONSTRAINT register_check1;
ALTER TABLE register ADD CONSTRAINT correction_has_its_reason CHECK (kind <> 'correction' OR why <> '' OR digests ? 'reason');

COMMENT ON SCHEMA public IS 'coldrail 79';
