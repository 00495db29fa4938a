-- One row a tag and day. Each reading stands until the next one of its tag, three intervals at most, and not beyond its
-- day; touched is in the order of tag and time, so that the next row is the next reading.
INSERT INTO reckoned_day
WITH followed AS (
    SELECT
        tag_id, read_us, value, flag, (read_us + {ahead} + 8640000000000000) // 86400000000 - 100000 AS day_number,
        lead(tag_id) OVER () AS next_tag_id, lead(read_us) OVER () AS next_us
    FROM {source}
),
bounded AS (
    SELECT
        reading.tag_id, bounds.day, reading.read_us, reading.value, reading.flag, reading.flag <= 3 AS is_usable,
        3000000 * setting.expected_interval_s::BIGINT AS longest_us,
        CASE
            WHEN reading.next_tag_id = reading.tag_id AND reading.next_us < bounds.end_us THEN reading.next_us
        END AS next_us,
        bounds.end_us,
        coalesce(reading.value < setting.range_low, false) OR coalesce(reading.value > setting.range_high, false)
            AS is_outside
    FROM followed AS reading
    JOIN day_bounds AS bounds ON bounds.day = DATE '1970-01-01' + reading.day_number::INTEGER
    JOIN tag_setting AS setting ON setting.tag_id = reading.tag_id
)
SELECT
    tag_id, day, count(*), count(*) FILTER (is_usable), count(*) FILTER (flag >= 3),
    count(*) FILTER (is_usable AND is_outside), min(value) FILTER (is_usable), max(value) FILTER (is_usable),
    sum(value) FILTER (is_usable), arg_min(value, read_us) FILTER (is_usable),
    arg_max(value, read_us) FILTER (is_usable), min(read_us), max(read_us),
    count(*) FILTER (next_us - read_us > longest_us),
    coalesce(sum(next_us - read_us) FILTER (next_us - read_us > longest_us), 0) // 1000000,
    coalesce(
        sum(least(coalesce(next_us, end_us), read_us + longest_us, end_us) - read_us)
            FILTER (is_usable AND is_outside),
        0
    ) // 1000000
FROM bounded
GROUP BY tag_id, day
