DROP TABLE incident_stops, incident_meat, incidents;
COMMENT ON SCHEMA public IS 'coldrail 13';
