-- Each look at what only some work in the shop needs of a person: licence numbers,
-- addresses, who brought and who killed it.
CREATE TABLE private_looks (
  id        uuid PRIMARY KEY,
  at        timestamptz NOT NULL,
  by_staff  uuid NOT NULL REFERENCES staff,
  device_id uuid REFERENCES devices,
  animal_id uuid REFERENCES animals,               -- NULL: a list of many, or a person alone
  person_id uuid REFERENCES people,
  shown     text[] NOT NULL CHECK (cardinality(shown) > 0),
  page      text NOT NULL CHECK (page <> ''),
  about     text NOT NULL DEFAULT ''               -- of a list: which part of it
);
CREATE INDEX private_looks_at ON private_looks (at DESC, id);
CREATE INDEX private_looks_animal ON private_looks (animal_id, at) WHERE animal_id IS NOT NULL;
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON private_looks FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

GRANT SELECT, INSERT ON private_looks TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 47';
