-- What the checks say of cells that are held or became results, by the latest reading of each cell; what was withdrawn
-- says nothing.
SELECT
    cell.load_id, load.file_name, cell.line, cell.column_name, cell.outcome,
    coalesce(result.sample_point, logged.sample_point, text.sample_point, text.point_text) AS sample_point,
    coalesce(result.analyte, logged.requested_text, text.analyte, text.analyte_text) AS analyte,
    coalesce(result.collected_text, logged.collected_text, text.collected_text) AS collected,
    coalesce(result.value_text, logged.sample, text.value_text) AS value_text,
    coalesce(result.unit_text, text.unit_text) AS unit_text,
    coalesce(result.laboratory, logged.laboratory, text.laboratory_text) AS laboratory,
    found.rule_id, found.severity, found.excludes_from_compliance, found.message, found.remedy
FROM outcome_as_of($as_of_event) AS cell
JOIN finding AS found USING (load_id, cell_id, event_id)
JOIN load USING (load_id)
LEFT JOIN result ON result.result_id = cell.result_id
LEFT JOIN logged_sample AS logged
    ON logged.load_id = cell.load_id AND logged.cell_id = cell.cell_id AND logged.event_id = cell.event_id
LEFT JOIN held_text AS text ON text.load_id = cell.load_id AND text.cell_id = cell.cell_id AND text.event_id = cell.event_id
WHERE ($load_id IS NULL OR cell.load_id = $load_id)
    AND cell.load_id NOT IN (SELECT load_id FROM withdrawn_as_of($as_of_event))
ORDER BY cell.load_id DESC, cell.line, found.rule_id
