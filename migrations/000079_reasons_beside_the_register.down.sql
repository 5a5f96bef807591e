-- Not held against the lines whose reason stands beside them already.
ALTER TABLE register DROP CONSTRAINT correction_has_its_reason;
ALTER TABLE register ADD CONSTRAINT register_check1 CHECK (kind <> 'correction' OR why <> '') NOT VALID;

COMMENT ON SCHEMA public IS 'coldrail 78';
