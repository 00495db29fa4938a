-- Held cells, one a cell, with all the reasons that hold them.
WITH last_load AS (
    SELECT load_id, file_name
    FROM load
    QUALIFY row_number() OVER (PARTITION BY file_id ORDER BY load_id DESC) = 1
)
SELECT
    coalesce(text.analyte, ''),
    coalesce(text.sample_point, ''),
    text.collected_on,
    coalesce(string_agg(found.message, ' ' ORDER BY found.rule_id), ''),
    any_value(last_load.file_name),
    any_value(cell.line),
    any_value(cell.column_name)
FROM current_outcome AS cell
JOIN last_load USING (load_id)
JOIN held_text AS text USING (load_id, cell_id, event_id)
LEFT JOIN finding AS found
    ON found.load_id = cell.load_id
    AND found.cell_id = cell.cell_id
    AND found.event_id = cell.event_id
    AND found.severity = 'hold'
WHERE cell.outcome = 'held'
GROUP BY cell.load_id, cell.cell_id, text.analyte, text.sample_point, text.collected_on
ORDER BY cell.load_id, cell.cell_id
