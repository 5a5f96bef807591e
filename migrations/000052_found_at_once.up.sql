-- Asked with every board: whether anything was finished since.
CREATE INDEX time_line_finished ON time_line (seq) WHERE what = 'finish';

COMMENT ON SCHEMA public IS 'coldrail 52';
