DELETE FROM alarm_messages m USING alarms a WHERE a.id = m.alarm_id AND a.kind = 'warm-freezer';
DELETE FROM alarms WHERE kind = 'warm-freezer';
ALTER TABLE alarms DROP CONSTRAINT alarms_kind_check;
ALTER TABLE alarms ADD CONSTRAINT alarms_kind_check CHECK (kind IN ('missed-round', 'warm-room', 'silent-sensor', 'test'));
DELETE FROM photos WHERE round_id IS NOT NULL;
DROP INDEX photos_round;
ALTER TABLE photos DROP CONSTRAINT photos_of_one, DROP COLUMN round_id;
ALTER TABLE photos ALTER COLUMN look_id SET NOT NULL;

COMMENT ON SCHEMA public IS 'coldrail 24';
