ALTER TABLE messages DROP COLUMN portion;
ALTER TABLE shares DROP COLUMN person_id;
DELETE FROM animal_people WHERE role = 'share';
ALTER TABLE animal_people DROP CONSTRAINT animal_people_role_check;
ALTER TABLE animal_people ADD CONSTRAINT animal_people_role_check CHECK (role IN ('taker', 'deliverer', 'owner', 'payer', 'collector'));

COMMENT ON SCHEMA public IS 'coldrail 68';
