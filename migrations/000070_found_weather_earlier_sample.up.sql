-- What was told at the door beside the register: when the animal was found, where that
-- is not when it was killed, the weather between, and the number of a disease sample
-- that was drawn before it came. A row only where something was told.
CREATE TABLE told_at_door (
  animal_id      uuid PRIMARY KEY REFERENCES animals,
  found_at       timestamptz,
  weather        text NOT NULL DEFAULT '',
  earlier_sample text NOT NULL DEFAULT '',
  CHECK (found_at IS NOT NULL OR weather <> '' OR earlier_sample <> '')
);

GRANT SELECT, INSERT ON told_at_door TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 70';
