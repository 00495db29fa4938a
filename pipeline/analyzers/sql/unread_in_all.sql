-- Cells that are no readings, those of one column, tag and reason together.
SELECT
    unread.column_name, coalesce(any_value(setting.tag), unread.tag_text) AS tag, unread.code, unread.detail,
    sum(unread.cells)::BIGINT AS cells, min(unread.first_line) AS first_line, max(unread.last_line) AS last_line,
    list_sort(flatten(list(unread.lines))) AS lines, arg_min(unread.example, unread.first_line) AS example
FROM unread
LEFT JOIN tag_spelling AS spelling ON spelling.text = unread.tag_text
LEFT JOIN tag_setting AS setting ON setting.tag_id = spelling.tag_id
GROUP BY unread.column_name, coalesce(setting.tag, unread.tag_text), unread.tag_text, unread.code, unread.detail
ORDER BY first_line, column_name, tag, code
