-- A report may be owed to each owner whose meat was reached: a task for each, with
-- their answer.
ALTER TABLE statutes ADD COLUMN each_owner boolean NOT NULL DEFAULT false;
UPDATE statutes SET each_owner = true WHERE key = 'any-tell-owners';
ALTER TABLE notices ADD COLUMN person_id uuid REFERENCES people;
ALTER TABLE notices ADD COLUMN answer text NOT NULL DEFAULT '' CHECK (answer IN ('', 'keeps', 'replacement', 'money-back', 'discard'));
ALTER TABLE notices ADD CHECK (sent_at IS NOT NULL OR answer = '');
DROP INDEX notices_once;
CREATE UNIQUE INDEX notices_once ON notices (animal_id, statute_id, coalesce(person_id, '00000000-0000-0000-0000-000000000000')) WHERE sent_at IS NULL;
GRANT UPDATE (answer) ON notices TO coldrail_app;

-- The statement about a lost tag is signed.
ALTER TABLE tag_moves ADD COLUMN signer text NOT NULL DEFAULT '', ADD COLUMN strokes text NOT NULL DEFAULT '';

-- How many days from the kill the owner wants it to hang, what was settled, and why
-- that is more than its kind allows.
ALTER TABLE orders ADD COLUMN days_wanted smallint NOT NULL DEFAULT 0 CHECK (days_wanted BETWEEN 0 AND 365);
ALTER TABLE orders ADD COLUMN days_settled smallint NOT NULL DEFAULT 0 CHECK (days_settled BETWEEN 0 AND days_wanted);
ALTER TABLE orders ADD COLUMN days_why text NOT NULL DEFAULT '';

-- What a ruler said of a printer's test label. A printer is known by its paper.
CREATE TABLE printer_checks (
  id          uuid PRIMARY KEY,
  paper       text NOT NULL CHECK (paper IN ('pack', '4x6', 'letter')),
  drawn_mm    double precision NOT NULL CHECK (drawn_mm > 0),
  measured_mm double precision NOT NULL CHECK (measured_mm > 0),
  capital_mm  double precision NOT NULL CHECK (capital_mm > 0),   -- height of the letters of NOT FOR SALE it prints
  at          timestamptz NOT NULL,
  by_staff    uuid NOT NULL REFERENCES staff
);
CREATE INDEX printer_checks_paper ON printer_checks (paper, at DESC);
ALTER TABLE prints ADD COLUMN paper text NOT NULL DEFAULT '' CHECK (paper IN ('', 'pack', '4x6', 'letter'));
CREATE INDEX prints_at ON prints (at);
GRANT SELECT, INSERT ON printer_checks TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 59';
