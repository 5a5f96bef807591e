-- Who asked in vain for an owner's page by number and phone: counted for the number,
-- for the caller's address and for the whole shop, all servers together. What was
-- typed and where from stand here only as codes that the servers' key makes.
CREATE TABLE look_up_tries (
  kind    text NOT NULL CHECK (kind IN ('shop', 'address', 'number')),
  code    bytea NOT NULL CHECK (length(code) = 32),
  misses  integer NOT NULL DEFAULT 0 CHECK (misses >= 0),
  last_at timestamptz NOT NULL,
  until   timestamptz NOT NULL,
  PRIMARY KEY (kind, code)
);
CREATE INDEX look_up_tries_last ON look_up_tries (last_at);

GRANT SELECT, INSERT, UPDATE, DELETE ON look_up_tries TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 46';
