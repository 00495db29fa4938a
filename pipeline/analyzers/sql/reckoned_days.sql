-- Days worked out by a load, as the store keeps them.
SELECT
    tag_id, day, readings, usable, flagged, outside, lowest, highest, total, first_value, last_value,
    make_timestamptz(first_us) AS first_at, make_timestamptz(last_us) AS last_at, inner_gaps, inner_gap_s, outside_s
FROM reckoned_day
ORDER BY tag_id, day
