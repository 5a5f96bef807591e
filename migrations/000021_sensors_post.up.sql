-- What lets a sensor post its readings: a token, of which only the hash is kept.
-- A sensor has one at a time; a lost one is taken back and another made.
CREATE TABLE sensor_tokens (
  id         uuid PRIMARY KEY,
  sensor_id  smallint NOT NULL REFERENCES sensors,
  token_hash bytea NOT NULL UNIQUE CHECK (length(token_hash) = 32),
  made_at    timestamptz NOT NULL,
  made_by    uuid NOT NULL REFERENCES staff,
  revoked_at timestamptz
);
CREATE UNIQUE INDEX one_sensor_one_token ON sensor_tokens (sensor_id) WHERE revoked_at IS NULL;

GRANT SELECT, INSERT ON sensor_tokens TO coldrail_app;
GRANT UPDATE (revoked_at) ON sensor_tokens TO coldrail_app;

-- A sensor shows that it is stuck only after 12 hours of readings that seemed
-- good: those may be called stuck afterwards. What was read stays as it came.
GRANT UPDATE (flag) ON readings TO coldrail_app;

-- readings_kept tells what is remembered of a room from what is new, so it rises
-- here too.
CREATE FUNCTION count_stuck() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  UPDATE coolers c SET readings_kept = readings_kept + n.changed
  FROM (SELECT cooler_id, count(*) AS changed FROM fresh GROUP BY cooler_id) n WHERE c.id = n.cooler_id;
  RETURN NULL;
END
$$;
CREATE TRIGGER count_stuck AFTER UPDATE ON readings REFERENCING NEW TABLE AS fresh FOR EACH STATEMENT EXECUTE FUNCTION count_stuck();

COMMENT ON SCHEMA public IS 'coldrail 21';
