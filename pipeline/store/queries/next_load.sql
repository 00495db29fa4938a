SELECT coalesce(max(load_id), 0) + 1 FROM load
