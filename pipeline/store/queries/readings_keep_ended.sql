-- Readings that stop counting by a change; those of the change itself are their successors.
INSERT INTO reading_past
SELECT
    reading.tag_id, reading.read_at, reading.value, reading.flag, reading.line, reading.delivered_by,
    reading.counts_from, $change_id
FROM reading
JOIN ended_key USING (tag_id, read_at)
WHERE reading.delivered_by <> $change_id AND reading.read_at >= $first AND reading.read_at <= $last
