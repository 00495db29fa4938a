SELECT coalesce(max(logged_id), 0) + 1 FROM logged_sample
