-- Cells that are no readings, those of one reason together; lines only of those that a person has to find.
INSERT INTO unread
SELECT
    $column, tag_text, code,
    CASE code
        WHEN 'line' THEN fault
        WHEN 'rule' THEN rule::VARCHAR
        WHEN 'status' THEN status_text
        WHEN 'missing' THEN status_text
        ELSE ''
    END AS detail,
    count(*), min(line), max(line),
    CASE WHEN code IN ('empty', 'rule', 'missing') THEN [] ELSE list(line ORDER BY line) END,
    coalesce(arg_min(CASE code WHEN 'time' THEN time_text WHEN 'tag' THEN tag_text ELSE odd END, line), '')
FROM judged_cell
WHERE code <> ''
GROUP BY tag_text, code, detail
