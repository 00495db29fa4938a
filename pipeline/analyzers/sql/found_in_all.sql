-- What is weak about readings that were kept, by tag and rule.
SELECT
    setting.tag, found.rule_id, sum(found.cells)::BIGINT AS cells, min(found.first_line) AS first_line,
    max(found.last_line) AS last_line
FROM found
JOIN tag_setting AS setting USING (tag_id)
GROUP BY setting.tag, found.rule_id
ORDER BY setting.tag, found.rule_id
