-- The staged cells as a person would meet them in the store, with the first reason for which one is held.
SELECT
    cell.line,
    cell.column_name,
    cell.value_text,
    coalesce(cell.analyte, '') AS analyte,
    coalesce(cell.sample_point, '') AS sample_point,
    CASE
        WHEN cell.value IS NULL THEN CASE WHEN cell.value_kind IN ('unreadable', 'empty') THEN '' ELSE cell.value_kind END
        WHEN cell.value_kind = 'below' THEN '< ' || rtrim(rtrim(cell.value::VARCHAR, '0'), '.')
        WHEN cell.value_kind = 'above' THEN '> ' || rtrim(rtrim(cell.value::VARCHAR, '0'), '.')
        ELSE rtrim(rtrim(cell.value::VARCHAR, '0'), '.')
    END AS value,
    trim(coalesce(cell.unit, '') || ' ' || cell.basis) AS unit,
    coalesce(strftime(timezone($zone, cell.collected_at), '%Y-%m-%d %H:%M'), cell.collected_on::VARCHAR, '') AS collected,
    CASE
        WHEN cell.set_aside <> '' THEN 'set aside'
        WHEN cell.value_kind = 'empty' THEN 'empty'
        WHEN held.message IS NOT NULL THEN 'held'
        ELSE 'stored'
    END AS outcome,
    CASE WHEN cell.set_aside <> '' THEN cell.set_aside ELSE coalesce(held.message, '') END AS problem
FROM staged_cell AS cell
LEFT JOIN (
    SELECT cell_id, min(message) AS message FROM staged_finding WHERE severity = 'hold' GROUP BY cell_id
) AS held USING (cell_id)
ORDER BY cell.cell_id
