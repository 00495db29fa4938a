-- Where a tag has no reading for longer than a time from the last reading of one day to the first of another.
SELECT last_at AS last_before, next_at AS first_after
FROM (
    SELECT last_at, lead(first_at) OVER (ORDER BY day) AS next_at
    FROM reading_day
    WHERE tag_id = $tag_id AND day >= $first AND day <= $last
)
WHERE epoch_us(next_at) - epoch_us(last_at) > $longest_us
ORDER BY last_at
