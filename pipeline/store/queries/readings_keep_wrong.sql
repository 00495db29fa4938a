INSERT INTO reading_past
SELECT
    reading.tag_id, reading.read_at, reading.value, reading.flag, reading.line, reading.delivered_by,
    reading.counts_from, $change_id
FROM reading_in_force AS reading
SEMI JOIN counting_wrongly USING (tag_id, read_at)
