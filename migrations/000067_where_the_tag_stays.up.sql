-- What a rule about the official tag wants of it: back with the meat, kept here as long as
-- any part of the animal is, or on the carcass until it is cut or quartered.
ALTER TABLE statutes
  ADD COLUMN custody text NOT NULL DEFAULT '' CHECK (custody IN ('', 'back', 'here', 'until-cut')),
  ADD CHECK (custody = '' OR topic = 'tag');
UPDATE statutes s SET custody = v.custody FROM (VALUES
  ('il-tag', 'back'), ('wa-tag', 'back'), ('or-tag', 'back'), ('wi-tag', 'back'), ('tx-tag', 'here'), ('sc-tag', 'until-cut')) v (key, custody)
  WHERE s.key = v.key AND s.by_staff IS NULL;

COMMENT ON SCHEMA public IS 'coldrail 67';
