-- Where there is exactly one step back, the readings before it are of the first pass and those after it of the second.
INSERT INTO arrived
SELECT tag_id, wall_us - CASE WHEN pass = 0 THEN ahead ELSE ahead_again END, value, flag, line, true
FROM told
WHERE steps = 1
