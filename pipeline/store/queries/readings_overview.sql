-- Every tag with its span, and how often and how long readings were missing, flagged or out of range; from the days.
WITH followed AS (
    SELECT
        reading_day.*, tag.tag, tag.expected_interval_s, tag.range_low, tag.range_high,
        epoch_us(lead(first_at) OVER (PARTITION BY reading_day.tag_id ORDER BY day)) - epoch_us(last_at) AS pause_us
    FROM reading_day
    JOIN analyzer_tag AS tag USING (tag_id)
),
counted AS (
    SELECT *, pause_us > 3000000 * expected_interval_s::BIGINT AS is_gap FROM followed
)
SELECT
    tag_id, tag, min(first_at) AS first_at, max(last_at) AS last_at, sum(readings)::BIGINT AS readings,
    sum(usable)::BIGINT AS usable, sum(flagged)::BIGINT AS flagged, sum(outside)::BIGINT AS outside,
    sum(outside_s)::BIGINT AS outside_s, (sum(inner_gaps) + count(*) FILTER (is_gap))::BIGINT AS gaps,
    (sum(inner_gap_s) + coalesce(sum(pause_us) FILTER (is_gap), 0) // 1000000)::BIGINT AS gap_s,
    min(lowest) AS lowest, max(highest) AS highest, max_by(last_value, day) AS last_value
FROM counted
GROUP BY tag_id, tag
ORDER BY tag
