DELETE FROM machine_runs WHERE machine_id = 7;
DELETE FROM machines WHERE id = 7;
REVOKE UPDATE (marks) ON stamps FROM coldrail_app;
ALTER TABLE stamps DROP COLUMN marks;
ALTER TABLE statutes DROP COLUMN accepts, DROP COLUMN origin, DROP COLUMN mark, DROP COLUMN clean_between;

COMMENT ON SCHEMA public IS 'coldrail 64';
