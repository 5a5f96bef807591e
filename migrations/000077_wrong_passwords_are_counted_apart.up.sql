-- Wrong passwords of whoever wants to let a device in are counted for the caller's
-- address and for the initials that were typed, whether anybody has them or not, and
-- no longer for the person: a stranger on the network could keep the owner from
-- signing with their PIN.
ALTER TABLE look_up_tries DROP CONSTRAINT look_up_tries_kind_check;
ALTER TABLE look_up_tries ADD CONSTRAINT look_up_tries_kind_check
  CHECK (kind IN ('shop', 'address', 'number', 'enrol-address', 'enrol-initials'));

COMMENT ON SCHEMA public IS 'coldrail 77';
