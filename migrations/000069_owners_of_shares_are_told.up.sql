-- Whoever bought a share and gave a phone is a person with a part of their own in the
-- animal, and is told of their share. What an animal was sold as stands in its newest
-- shares; a person who is in none of them is told nothing more.
ALTER TABLE animal_people DROP CONSTRAINT animal_people_role_check;
ALTER TABLE animal_people ADD CONSTRAINT animal_people_role_check CHECK (role IN ('taker', 'deliverer', 'owner', 'payer', 'collector', 'share'));
ALTER TABLE shares ADD COLUMN person_id uuid REFERENCES people;
ALTER TABLE messages ADD COLUMN portion text NOT NULL DEFAULT '' CHECK (portion IN ('', 'L', 'R', 'L1', 'L2', 'R1', 'R2'));

INSERT INTO people (id, name, phone, known_since)
  SELECT gen_random_uuid(), name, phone, at FROM (
    SELECT DISTINCT ON (regexp_replace(phone, '[^0-9]', '', 'g'), lower(name)) name, phone, at FROM shares
    WHERE length(regexp_replace(phone, '[^0-9]', '', 'g')) BETWEEN 7 AND 15
    ORDER BY regexp_replace(phone, '[^0-9]', '', 'g'), lower(name), at) s
  ON CONFLICT (phone_digits, lower(name)) WHERE phone_digits <> '' DO NOTHING;
UPDATE shares s SET person_id = p.id FROM people p
  WHERE p.phone_digits <> '' AND p.phone_digits = regexp_replace(s.phone, '[^0-9]', '', 'g') AND lower(p.name) = lower(s.name);
INSERT INTO animal_people (animal_id, person_id, role, since)
  SELECT animal_id, person_id, 'share', min(at) FROM shares WHERE person_id IS NOT NULL GROUP BY animal_id, person_id;

COMMENT ON SCHEMA public IS 'coldrail 69';
