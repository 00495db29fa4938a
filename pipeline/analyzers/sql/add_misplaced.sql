-- Readings of an hour that did not happen, or of one that came twice and is not told apart.
INSERT INTO unread
SELECT
    $column, tag_text, $code, '', count(*), min(line), max(line), list(line ORDER BY line),
    strftime(make_timestamp(arg_min(wall_us, line)), '%Y-%m-%d %H:%M:%S')
FROM judged_cell
WHERE code = '' AND wall_us >= $start AND wall_us < $end
GROUP BY tag_text
