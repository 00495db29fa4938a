DELETE FROM reading_day
WHERE tag_id = $tag_id AND day >= $first AND day <= $last
