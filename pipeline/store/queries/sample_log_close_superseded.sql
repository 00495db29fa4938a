UPDATE logged_in_force
SET to_event = $event_id
WHERE to_event IS NULL
    AND key_hash IN (SELECT key_hash FROM touched_bottle)
    AND logged_id NOT IN (SELECT logged_id FROM newest_line)
