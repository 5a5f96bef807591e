-- What some rules were only read for is asked for now: which proof an animal is taken
-- in on and from where, the words a mark or a label has to bear, and whether the table
-- is cleaned between game and livestock.
ALTER TABLE statutes
  ADD COLUMN accepts text[] NOT NULL DEFAULT '{}' CHECK (accepts <@ '{carcass-tag,permit,seal,confirmation,ear-tag,licence,donation-certificate,certification}'),
  ADD COLUMN origin text NOT NULL DEFAULT '' CHECK (origin IN ('', 'home', 'outside')),
  ADD COLUMN mark text NOT NULL DEFAULT '',
  ADD COLUMN clean_between boolean NOT NULL DEFAULT false,
  ADD CHECK (accepts = '{}' OR topic = 'proof'),
  ADD CHECK (origin = '' OR topic = 'proof'),
  ADD CHECK (mark = '' OR topic IN ('livestock', 'donation')),
  ADD CHECK (NOT clean_between OR topic = 'same-plant');
UPDATE statutes s SET accepts = v.accepts FROM (VALUES
  ('ga-licence', '{licence}'::text[]), ('la-licence', '{licence}'), ('co-possession', '{carcass-tag,donation-certificate}'),
  ('il-proof', '{permit,certification}'), ('sc-proof', '{carcass-tag}')) v (key, accepts)
  WHERE s.key = v.key AND s.by_staff IS NULL;
UPDATE statutes s SET mark = v.mark FROM (VALUES
  ('us-nfs', 'NOT FOR SALE'), ('co-marks', 'NOT FOR SALE, and the owner''s name'), ('ut-marks', 'NOT FOR SALE on each quarter, and four tags to the animal')) v (key, mark)
  WHERE s.key = v.key AND s.by_staff IS NULL;
UPDATE statutes SET clean_between = true WHERE key = 'wi-plant' AND by_staff IS NULL;

-- The words a quarter was marked with; what was stamped so far bears the federal words.
ALTER TABLE stamps ADD COLUMN marks text[] NOT NULL DEFAULT '{}';
UPDATE stamps SET marks = '{NOT FOR SALE}';
GRANT UPDATE (marks) ON stamps TO coldrail_app;

-- The table is cleaned out like a machine.
INSERT INTO machines (id, name) VALUES (7, 'table');

COMMENT ON SCHEMA public IS 'coldrail 65';
