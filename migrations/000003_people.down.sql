DROP TABLE people;
