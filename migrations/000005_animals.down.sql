DROP TABLE weigh_ins, occupancies, pieces, official_tags, animal_people, animals;
COMMENT ON SCHEMA public IS 'coldrail 4';
