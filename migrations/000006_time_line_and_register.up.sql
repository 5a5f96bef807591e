-- One line per act on an animal or a room. The act's id is made where the act is
-- made, so that sending it twice adds nothing.
CREATE TABLE time_line (
  act        uuid PRIMARY KEY,
  seq        bigint GENERATED ALWAYS AS IDENTITY,
  animal_id  uuid REFERENCES animals,
  cooler_id  smallint REFERENCES coolers,
  what       text NOT NULL CHECK (what <> ''),
  detail     jsonb NOT NULL DEFAULT '{}',
  at         timestamptz NOT NULL,                  -- when it was done
  entered_at timestamptz NOT NULL DEFAULT now(),    -- when it arrived here
  by_staff   uuid REFERENCES staff,                 -- NULL: the program itself
  device_id  uuid REFERENCES devices
);
CREATE INDEX time_line_animal ON time_line (animal_id, at, seq) WHERE animal_id IS NOT NULL;
CREATE INDEX time_line_cooler ON time_line (cooler_id, at, seq) WHERE cooler_id IS NOT NULL;
CREATE INDEX time_line_entered ON time_line (entered_at);

-- The legal line at receipt and the lines that correct it. Each carries the hash
-- of the one before. Personal fields stand apart; the line keeps only their
-- salted digests, so that value and salt can go while the chain stays whole.
CREATE TABLE register (
  seq       bigint PRIMARY KEY CHECK (seq >= 1),
  animal_id uuid NOT NULL REFERENCES animals,
  kind      text NOT NULL CHECK (kind IN ('receipt', 'correction', 'handover')),
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  initials  text NOT NULL CHECK (initials <> ''),    -- as signed then; sealed with the line
  facts     jsonb NOT NULL,                         -- name -> text
  digests   jsonb NOT NULL,                         -- personal field -> hex digest
  corrects  bigint REFERENCES register,
  why       text NOT NULL DEFAULT '',
  previous  bytea NOT NULL CHECK (length(previous) = 32),
  hash      bytea NOT NULL UNIQUE CHECK (length(hash) = 32),
  CHECK ((kind = 'correction') = (corrects IS NOT NULL)),
  CHECK (kind <> 'correction' OR why <> '')
);
CREATE INDEX register_animal ON register (animal_id, seq);

CREATE TABLE register_personal (
  seq        bigint NOT NULL REFERENCES register,
  field      text NOT NULL,
  value      text,
  salt       bytea,
  blanked_at timestamptz,
  PRIMARY KEY (seq, field),
  CHECK ((value IS NULL) = (salt IS NULL) AND (value IS NULL) = (blanked_at IS NOT NULL))
);

-- Append-only in the database itself: no right, and a trigger in case somebody
-- grants one.
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is append-only: add a correcting line instead', TG_TABLE_NAME USING ERRCODE = 'insufficient_privilege';
END
$$;
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON time_line FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON register FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON register_personal FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

GRANT SELECT, INSERT ON time_line, register, register_personal TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 6';
