INSERT INTO reading_again
SELECT tag_id, read_at, value, flag, line, $change_id
FROM arriving_reading
