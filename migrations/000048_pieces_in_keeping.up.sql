-- By when a head, a cape, a hide or antlers must be in the freezer, in hours after
-- they came off; the owner's own rule. Common practice, no source, but for the cape.
CREATE TABLE piece_clocks (
  kind   text PRIMARY KEY CHECK (kind IN ('head', 'cape', 'hide', 'antlers')),
  hours  smallint CHECK (hours BETWEEN 1 AND 240),  -- NULL: it need not be frozen
  set_at timestamptz,
  set_by uuid REFERENCES staff,
  CHECK ((set_at IS NULL) = (set_by IS NULL))
);
INSERT INTO piece_clocks (kind, hours) VALUES ('cape', 12), ('head', 24), ('hide', 24), ('antlers', NULL);

-- Where a piece was laid, each time.
CREATE TABLE piece_moves (
  id       uuid PRIMARY KEY,
  piece_id uuid NOT NULL REFERENCES pieces,
  place    text NOT NULL CHECK (place <> ''),
  frozen   boolean NOT NULL,                        -- it lies in a freezer there
  at       timestamptz NOT NULL,
  by_staff uuid NOT NULL REFERENCES staff
);
CREATE INDEX piece_moves_piece ON piece_moves (piece_id, at);

-- Who took it, and their signature.
ALTER TABLE pieces
  ADD COLUMN taken_by text NOT NULL DEFAULT '',
  ADD COLUMN strokes  text NOT NULL DEFAULT '';
CREATE INDEX pieces_in_keeping ON pieces (made_at) WHERE gone_at IS NULL AND kind IN ('head', 'cape', 'hide', 'antlers');

GRANT SELECT, UPDATE (hours, set_at, set_by) ON piece_clocks TO coldrail_app;
GRANT SELECT, INSERT ON piece_moves TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 48';
