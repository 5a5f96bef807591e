DROP TABLE donations, letters, left_things;
ALTER TABLE handovers DROP COLUMN strokes;
ALTER TABLE shop DROP COLUMN after_letter_days, DROP COLUMN decide_days, DROP COLUMN letter_days, DROP COLUMN second_notice_days, DROP COLUMN unclaimed_on, DROP COLUMN stub_collects;
ALTER TABLE animals DROP COLUMN booking_id;
DROP TABLE bookings, booking_days;

COMMENT ON SCHEMA public IS 'coldrail 27';
