-- How many readings of some tags count on each day between two days.
SELECT day, tag_id, readings
FROM reading_day
WHERE day >= $first AND day <= $last AND list_contains($tags, tag_id)
