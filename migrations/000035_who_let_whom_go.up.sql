-- Wrong PINs are counted for the device too, and a device is turned away by somebody.
ALTER TABLE devices
  ADD COLUMN pin_misses     smallint NOT NULL DEFAULT 0,
  ADD COLUMN pin_wait_until timestamptz,
  ADD COLUMN revoked_by     uuid REFERENCES staff;

-- What is done in the house itself, to no animal and no room: who was taken on,
-- which device was turned away.
CREATE INDEX time_line_house ON time_line (what, seq) WHERE animal_id IS NULL AND cooler_id IS NULL;

COMMENT ON SCHEMA public IS 'coldrail 35';
