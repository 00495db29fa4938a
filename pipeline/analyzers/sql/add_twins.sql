INSERT INTO unread
SELECT
    setting.column_name, setting.tag, twin.fate, '', count(*), min(twin.line), max(twin.line),
    CASE WHEN twin.fate = 'repeated' THEN [] ELSE list(twin.line ORDER BY twin.line) END,
    arg_min(twin.value, twin.line)::VARCHAR
FROM twin
JOIN tag_setting AS setting USING (tag_id)
WHERE twin.fate <> 'kept'
GROUP BY setting.column_name, setting.tag, twin.fate
