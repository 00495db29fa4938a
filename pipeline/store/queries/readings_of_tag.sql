-- Readings of a tag from an instant up to but without another, as they counted as of an event, each with its mark: the
-- worse of what the historian says and of the tests for range and time; not evaluated while the water stood still.
WITH asked AS (
    SELECT read_at, value, flag, line, delivered_by
    FROM reading_as_of($as_of_event)
    WHERE tag_id = $tag_id AND read_at >= $start AND read_at < $end
),
running AS (
    SELECT read_at, value
    FROM reading_as_of($as_of_event)
    WHERE tag_id = $run_tag_id AND read_at >= $run_start AND read_at < $end AND flag <= 3
)
SELECT
    asked.read_at, asked.value, asked.flag,
    CASE
        WHEN running.value = 0 THEN 2
        WHEN asked.flag = 4 OR asked.value < $range_low OR asked.value > $range_high THEN 4
        WHEN asked.flag = 3 OR asked.value < $usual_low OR asked.value > $usual_high
            OR asked.read_at > event.happened_at THEN 3
        ELSE asked.flag
    END::UTINYINT AS mark,
    load.load_id, load.file_name, asked.line
FROM asked
ASOF LEFT JOIN running ON asked.read_at >= running.read_at
JOIN reading_change AS change ON change.change_id = asked.delivered_by
JOIN load USING (load_id)
JOIN event ON event.event_id = load.event_id
ORDER BY asked.read_at
