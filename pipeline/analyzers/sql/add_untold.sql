-- Where there is none, or more than one, nothing tells the two passes apart.
INSERT INTO unread
SELECT
    column_name, tag_text, 'twice', '', count(*), min(line), max(line), list(line ORDER BY line),
    coalesce(arg_min(strftime(make_timestamp(wall_us), '%Y-%m-%d %H:%M:%S'), line), '')
FROM told
WHERE steps <> 1
GROUP BY column_name, tag_text
