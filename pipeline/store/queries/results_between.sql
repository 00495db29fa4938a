-- Results in force at some sample points between two days with all that was said of them, quality control among them.
WITH said AS (
    SELECT
        load_id, cell_id, event_id,
        string_agg(message, ' ' ORDER BY rule_id) AS findings,
        bool_or(severity = 'flag') AS flagged
    FROM finding
    GROUP BY load_id, cell_id, event_id
)
SELECT
    result.sample_point, result.analyte, result.fraction, result.collected_on, result.collected_at,
    result.value_kind AS kind, result.value_text, result.value, coalesce(result.unit, '') AS unit, result.basis,
    result.detection_limit, result.reporting_limit, result.qualifier_text AS qualifier, result.sample_type,
    result.purpose, result.status, result.laboratory, result.method_text AS method, result.sample_text AS sample,
    coalesce(said.findings, '') AS findings, coalesce(said.flagged, false) AS flagged,
    load.file_name AS file, result.line, result.column_name AS "column"
FROM result_as_of($as_of_event) AS result
JOIN load ON load.load_id = result.load_id
LEFT JOIN said
    ON said.load_id = result.load_id AND said.cell_id = result.cell_id AND said.event_id = result.event_id
WHERE list_contains($sample_points, result.sample_point) AND result.collected_on BETWEEN $first AND $last
ORDER BY result.analyte, result.sample_point, result.collected_on, result.collected_at, result.result_id
