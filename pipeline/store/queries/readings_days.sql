-- Days of a tag, between two days, both included.
SELECT day, readings, usable, flagged, outside, lowest, highest, total, first_value, last_value, first_at, last_at,
    inner_gaps, inner_gap_s, outside_s
FROM reading_day
WHERE tag_id = $tag_id AND day >= $first AND day <= $last
ORDER BY day
