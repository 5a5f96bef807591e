DROP TABLE look_backs, corrective_actions, tag_reads, round_items;
REVOKE UPDATE (due_id, walked_from, walked_to, arrived_at, air_panel_c, air_own_c, meat_old_c, meat_new_c, fans_running, smell, comment,
               finished, room_at, full_list, humidity_pct, thermometer_id) ON rounds FROM coldrail_app;
DROP INDEX rounds_under_way, rounds_measured_with;
ALTER TABLE rounds
  DROP COLUMN finished, DROP COLUMN room_at, DROP COLUMN full_list, DROP COLUMN humidity_pct, DROP COLUMN thermometer_id,
  DROP COLUMN on_paper, DROP COLUMN entered_by;
DROP TABLE ice_checks, thermometers;

COMMENT ON SCHEMA public IS 'coldrail 16';
