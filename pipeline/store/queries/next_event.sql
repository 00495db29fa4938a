SELECT coalesce(max(event_id), 0) + 1 FROM event
