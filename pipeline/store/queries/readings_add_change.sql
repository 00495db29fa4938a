INSERT INTO reading_change VALUES ($change_id, $event_id, $load_id)
