-- Days between two days, of the tags of one zone, that are not what their readings make; the session's zone is theirs.
WITH counted AS (
    SELECT
        reading.tag_id, reading.read_at::DATE AS day, count(*) AS readings,
        count(DISTINCT reading.read_at) AS times,
        count(*) FILTER (reading.flag <= 3) AS usable, count(*) FILTER (reading.flag >= 3) AS flagged,
        count(*) FILTER (
            reading.flag <= 3 AND (reading.value < tag.range_low OR reading.value > tag.range_high)
        ) AS outside,
        min(reading.value) FILTER (reading.flag <= 3) AS lowest,
        max(reading.value) FILTER (reading.flag <= 3) AS highest,
        sum(reading.value) FILTER (reading.flag <= 3) AS total,
        min(reading.read_at) AS first_at, max(reading.read_at) AS last_at
    FROM reading_in_force AS reading
    JOIN analyzer_tag AS tag USING (tag_id)
    WHERE tag.time_zone = $time_zone AND reading.read_at >= $start AND reading.read_at < $end
    GROUP BY reading.tag_id, reading.read_at::DATE
),
kept AS (
    SELECT reading_day.*
    FROM reading_day
    JOIN analyzer_tag AS tag USING (tag_id)
    WHERE tag.time_zone = $time_zone AND reading_day.day >= $start::DATE AND reading_day.day < $end::DATE
)
SELECT coalesce(tag.tag, ''), coalesce(counted.day, kept.day)::VARCHAR
FROM counted
FULL JOIN kept ON kept.tag_id = counted.tag_id AND kept.day = counted.day
LEFT JOIN analyzer_tag AS tag ON tag.tag_id = coalesce(counted.tag_id, kept.tag_id)
WHERE counted.readings IS DISTINCT FROM kept.readings
    OR counted.times IS DISTINCT FROM counted.readings
    OR counted.usable IS DISTINCT FROM kept.usable
    OR counted.flagged IS DISTINCT FROM kept.flagged
    OR counted.outside IS DISTINCT FROM kept.outside
    OR counted.lowest IS DISTINCT FROM kept.lowest
    OR counted.highest IS DISTINCT FROM kept.highest
    OR counted.total IS DISTINCT FROM kept.total
    OR counted.first_at IS DISTINCT FROM kept.first_at
    OR counted.last_at IS DISTINCT FROM kept.last_at
ORDER BY ALL
