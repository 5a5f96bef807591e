DROP INDEX pieces_in_keeping;
ALTER TABLE pieces DROP COLUMN taken_by, DROP COLUMN strokes;
DROP TABLE piece_moves, piece_clocks;

COMMENT ON SCHEMA public IS 'coldrail 47';
