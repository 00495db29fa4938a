-- A tag between two instants in buckets of equal width, each with its lowest and highest usable reading, so that no
-- extreme is lost however many readings there are.
SELECT
    (epoch_us(read_at) - epoch_us($start::TIMESTAMPTZ)) // $width_us AS bucket,
    min(read_at) AS first_at, max(read_at) AS last_at, count(*) AS readings,
    min(value) FILTER (flag <= 3) AS lowest, max(value) FILTER (flag <= 3) AS highest,
    count(*) FILTER (flag > 3) AS failed
FROM reading_as_of($as_of_event)
WHERE tag_id = $tag_id AND read_at >= $start AND read_at < $end
GROUP BY bucket
ORDER BY bucket
