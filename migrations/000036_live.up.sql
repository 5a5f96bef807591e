-- Whoever shows a board is told of every act as it is committed, on whichever
-- server it was done.
CREATE FUNCTION tell_changed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_notify('changed', '');
  RETURN NULL;
END
$$;
CREATE TRIGGER tell_changed AFTER INSERT ON time_line FOR EACH STATEMENT EXECUTE FUNCTION tell_changed();

COMMENT ON SCHEMA public IS 'coldrail 36';
