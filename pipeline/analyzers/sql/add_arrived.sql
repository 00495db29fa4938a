-- Readings of a span of the wall clock, placed in UTC.
INSERT INTO arrived
SELECT tag_id, wall_us - $ahead, value, flag, line, false
FROM judged_cell
WHERE code = '' AND wall_us >= $start AND wall_us < $end
