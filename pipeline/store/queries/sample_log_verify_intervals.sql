SELECT key_hash, logged_id, from_event, to_event
FROM logged_in_force
