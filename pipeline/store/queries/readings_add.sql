INSERT INTO reading
SELECT tag_id, read_at, value, flag, line, $change_id, $change_id
FROM arriving_reading
