-- Readings by tag and by what they are beside the store.
SELECT
    setting.column_name, setting.tag, settled.outcome, sum(settled.cells)::BIGINT AS cells,
    min(settled.first_line) AS first_line, max(settled.last_line) AS last_line
FROM settled
JOIN tag_setting AS setting USING (tag_id)
GROUP BY setting.column_name, setting.tag, settled.outcome
ORDER BY setting.tag, settled.outcome
