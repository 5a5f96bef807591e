DROP INDEX prints_at;
ALTER TABLE prints DROP COLUMN paper;
DROP TABLE printer_checks;
ALTER TABLE orders DROP COLUMN days_why, DROP COLUMN days_settled, DROP COLUMN days_wanted;
ALTER TABLE tag_moves DROP COLUMN strokes, DROP COLUMN signer;
-- One open task for an animal and a rule again: the first stays.
DELETE FROM notices n WHERE sent_at IS NULL AND EXISTS (
  SELECT FROM notices o WHERE o.sent_at IS NULL AND o.animal_id = n.animal_id AND o.statute_id = n.statute_id AND o.id < n.id);
DROP INDEX notices_once;
ALTER TABLE notices DROP COLUMN answer, DROP COLUMN person_id;
CREATE UNIQUE INDEX notices_once ON notices (animal_id, statute_id) WHERE sent_at IS NULL;
ALTER TABLE statutes DROP COLUMN each_owner;

COMMENT ON SCHEMA public IS 'coldrail 58';
