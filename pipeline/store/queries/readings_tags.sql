SELECT tag_id, tag, time_zone, range_low, range_high, expected_interval_s
FROM analyzer_tag
ORDER BY tag
