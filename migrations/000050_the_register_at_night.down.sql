DELETE FROM statutes s WHERE s.key = 'wi-72h' AND s.version = 2 AND s.by_staff IS NULL
  AND NOT EXISTS (SELECT FROM notices n WHERE n.statute_id = s.id) AND NOT EXISTS (SELECT FROM statutes n WHERE n.key = s.key AND n.version > 2);
UPDATE statutes s SET until = NULL WHERE s.key = 'wi-72h' AND s.version = 1 AND NOT EXISTS (SELECT FROM statutes n WHERE n.key = s.key AND n.version > 1);
DROP TABLE register_checks;

COMMENT ON SCHEMA public IS 'coldrail 49';
