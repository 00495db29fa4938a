-- Cells that are held by the last load of their file, one row a finding that holds them.
WITH last_load AS (
    SELECT load.load_id, load.file_name, event.happened_at AS loaded_at
    FROM load
    JOIN event USING (event_id)
    QUALIFY row_number() OVER (PARTITION BY load.file_id ORDER BY load.load_id DESC) = 1
)
SELECT
    cell.load_id, last_load.loaded_at, last_load.file_name, cell.line, cell.column_name, cell.cell_id,
    text.laboratory_text, text.sample_text, text.point_text, text.analyte_text, text.value_text, text.unit_text,
    text.collected_text, text.analyte, text.sample_point, text.collected_on,
    found.rule_id, found.message, found.remedy
FROM current_outcome AS cell
JOIN last_load USING (load_id)
JOIN held_text AS text USING (load_id, cell_id, event_id)
LEFT JOIN finding AS found
    ON found.load_id = cell.load_id
    AND found.cell_id = cell.cell_id
    AND found.event_id = cell.event_id
    AND found.severity = 'hold'
WHERE cell.outcome = 'held' AND ($load_id IS NULL OR cell.load_id = $load_id)
ORDER BY cell.load_id DESC, cell.line, found.rule_id
