-- Where a tag has no reading for longer than a time, from one reading to the next, between two instants.
SELECT read_at AS last_before, next_at AS first_after
FROM (
    SELECT read_at, lead(read_at) OVER (ORDER BY read_at) AS next_at
    FROM reading_as_of($as_of_event)
    WHERE tag_id = $tag_id AND read_at >= $start AND read_at < $end
)
WHERE epoch_us(next_at) - epoch_us(read_at) > $longest_us
ORDER BY read_at
