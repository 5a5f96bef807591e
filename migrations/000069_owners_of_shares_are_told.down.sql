-- Without the share it is about, a message would tell one owner of the whole bill.
UPDATE messages SET state = 'dropped', why = 'It was about a share.', ended_at = now() WHERE portion <> '' AND state IN ('queued', 'to-call');
ALTER TABLE messages DROP COLUMN portion;
ALTER TABLE shares DROP COLUMN person_id;
DELETE FROM animal_people WHERE role = 'share';
ALTER TABLE animal_people DROP CONSTRAINT animal_people_role_check;
ALTER TABLE animal_people ADD CONSTRAINT animal_people_role_check CHECK (role IN ('taker', 'deliverer', 'owner', 'payer', 'collector'));

COMMENT ON SCHEMA public IS 'coldrail 68';
