-- How many readings of a part follow one of the same tag and time.
SELECT count(*)
FROM (SELECT tag_id = lag(tag_id) OVER () AND read_us = lag(read_us) OVER () AS is_twin FROM part)
WHERE is_twin
