INSERT INTO reading_pending VALUES ($change_id, $begun_at)
