INSERT INTO logged_in_force BY NAME
SELECT logged_id, key_hash, $event_id AS from_event, NULL AS to_event
FROM newest_line
WHERE logged_id NOT IN (SELECT logged_id FROM logged_in_force WHERE to_event IS NULL)
