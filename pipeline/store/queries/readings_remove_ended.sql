DELETE FROM reading
USING ended_key
WHERE reading.tag_id = ended_key.tag_id
    AND reading.read_at = ended_key.read_at
    AND reading.delivered_by <> $change_id
    AND reading.read_at >= $first
    AND reading.read_at <= $last
