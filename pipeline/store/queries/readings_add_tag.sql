INSERT INTO analyzer_tag VALUES ($tag_id, $tag, $time_zone, $range_low, $range_high, $expected_interval_s)
