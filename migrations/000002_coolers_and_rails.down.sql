DROP TABLE places, rails, coolers;
