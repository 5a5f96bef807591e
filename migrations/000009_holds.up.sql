-- A reason the next step may not happen.
CREATE TABLE holds (
  id        uuid PRIMARY KEY,
  animal_id uuid NOT NULL REFERENCES animals,
  kind      text NOT NULL CHECK (kind IN ('test-pending', 'positive', 'tag', 'warden', 'order-incomplete', 'payment', 'quality',
              'temperature', 'identity', 'share-mate', 'dispute')),
  reason    text NOT NULL CHECK (reason <> ''),
  opened_at timestamptz NOT NULL,
  opened_by uuid NOT NULL REFERENCES staff,
  review_on date,
  closed_at timestamptz,
  closed_by uuid REFERENCES staff,
  evidence  text,
  CHECK ((closed_at IS NULL) = (closed_by IS NULL) AND (closed_at IS NULL) = (evidence IS NULL)),
  CHECK (closed_at IS NULL OR closed_at >= opened_at)
);
CREATE INDEX holds_open ON holds (animal_id) WHERE closed_at IS NULL;

-- A disease sample carries somebody else's number and the lab's own words.
CREATE TABLE samples (
  id         uuid PRIMARY KEY,
  animal_id  uuid NOT NULL REFERENCES animals,
  number     text NOT NULL CHECK (number <> ''),
  lab        text NOT NULL DEFAULT '',
  drawn_on   date NOT NULL,
  expected_on date,
  result     text CHECK (result IN ('not detected', 'detected', 'unsuitable')),
  result_on  date,
  source     text,                                  -- the page or letter that was seen
  seen_by    uuid REFERENCES staff,
  seen_at    timestamptz,
  CHECK ((result IS NULL) = (result_on IS NULL) AND (result IS NULL) = (source IS NULL) AND (result IS NULL) = (seen_by IS NULL))
);
CREATE INDEX samples_animal ON samples (animal_id);

GRANT SELECT, INSERT, UPDATE ON holds, samples TO coldrail_app;

COMMENT ON SCHEMA public IS 'coldrail 9';
