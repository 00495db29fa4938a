-- What the checks say of cells that are held or in force now.
SELECT
    cell.load_id, load.file_name, cell.line, cell.column_name, cell.outcome,
    coalesce(result.sample_point, text.sample_point, text.point_text) AS sample_point,
    coalesce(result.analyte, text.analyte, text.analyte_text) AS analyte,
    coalesce(result.collected_text, text.collected_text) AS collected,
    coalesce(result.value_text, text.value_text) AS value_text,
    coalesce(result.unit_text, text.unit_text) AS unit_text,
    coalesce(result.laboratory, text.laboratory_text) AS laboratory,
    found.rule_id, found.severity, found.excludes_from_compliance, found.message, found.remedy
FROM current_finding AS found
JOIN current_outcome AS cell USING (load_id, cell_id)
JOIN load USING (load_id)
LEFT JOIN result ON result.load_id = cell.load_id AND result.cell_id = cell.cell_id
LEFT JOIN held_text AS text ON text.load_id = cell.load_id AND text.cell_id = cell.cell_id AND text.event_id = cell.event_id
WHERE $load_id IS NULL OR cell.load_id = $load_id
ORDER BY cell.load_id DESC, cell.line, found.rule_id
