DROP TABLE messages, message_stops, message_wordings, message_settings;

UPDATE contacts SET way = 'mail' WHERE way = 'e-mail';
UPDATE contacts SET outcome = 'no answer' WHERE outcome = 'failed';
ALTER TABLE contacts
  DROP CONSTRAINT contacts_way_check,
  DROP CONSTRAINT contacts_outcome_check,
  ADD CONSTRAINT contacts_way_check CHECK (way IN ('call', 'text', 'mail', 'in person')),
  ADD CONSTRAINT contacts_outcome_check CHECK (outcome IN ('spoke', 'left word', 'no answer', 'busy', 'sent'));

UPDATE people SET tell_by = 'call' WHERE tell_by = 'e-mail';
ALTER TABLE people
  DROP COLUMN mail,
  DROP CONSTRAINT people_tell_by_check,
  ADD CONSTRAINT people_tell_by_check CHECK (tell_by IN ('text', 'call', 'mail'));

COMMENT ON SCHEMA public IS 'coldrail 42';
