DELETE FROM look_up_tries WHERE kind IN ('enrol-address', 'enrol-initials');
ALTER TABLE look_up_tries DROP CONSTRAINT look_up_tries_kind_check;
ALTER TABLE look_up_tries ADD CONSTRAINT look_up_tries_kind_check
  CHECK (kind IN ('shop', 'address', 'number'));

COMMENT ON SCHEMA public IS 'coldrail 76';
