DROP TABLE weigh_ins, occupancies, pieces, official_tags, animal_people, animals;
