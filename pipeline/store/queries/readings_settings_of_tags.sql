CREATE OR REPLACE TEMP TABLE tag_setting AS
SELECT tag_id, '' AS column_name, tag, range_low, range_high, expected_interval_s
FROM analyzer_tag
