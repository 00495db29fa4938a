DELETE FROM reading
WHERE read_at >= $start AND read_at < $end
