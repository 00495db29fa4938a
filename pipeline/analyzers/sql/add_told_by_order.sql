-- Readings of an hour that came twice: the order of all their lines decides.
INSERT INTO told_by_order
SELECT tag_id, wall_us, value, flag, line, $column, tag_text, $start, $ahead, $ahead_again
FROM judged_cell
WHERE code = '' AND wall_us >= $start AND wall_us < $end
