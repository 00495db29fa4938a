INSERT INTO reread VALUES ($event_id, $load_id)
