INSERT INTO withdrawal VALUES ($event_id, $load_id, $reason)
