-- Results in force with where they stand in their files, newest first. Results of one sample that only a replicate,
-- dilution or batch mark tells apart are replicates, numbered in the order in which they came; 0 where there is one.
WITH said AS (
    SELECT load_id, cell_id, event_id, string_agg(message, ' ' ORDER BY rule_id) AS findings
    FROM finding
    GROUP BY load_id, cell_id, event_id
),
numbered AS (
    SELECT
        key_id,
        CASE WHEN count(*) OVER same > 1 THEN row_number() OVER (same ORDER BY key_id) ELSE 0 END AS replicate_number
    FROM result_key
    WHERE result_identifier = ''
    WINDOW same AS (PARTITION BY sender, laboratory, sample, analyte, fraction, method, sample_type)
)
SELECT
    result.result_id, result.sample_point, result.analyte, result.fraction, result.collected_on, result.collected_at,
    result.value_kind, result.value_text, result.value, coalesce(result.unit, '') AS unit, result.basis,
    result.detection_limit, result.reporting_limit, result.canonical_value, result.canonical_reporting_limit,
    result.qualifier_text, result.laboratory, result.laboratory_sample_text, result.sample_text, result.method_text,
    result.sample_type, result.purpose, result.confirmation_of, result.extracted_at, result.analyzed_at,
    result.status, result.revision, load.file_name, result.line, result.column_name, result.load_id,
    coalesce(said.findings, '') AS findings,
    result.reportable, result.replicate_text, result.dilution, result.batch_text,
    coalesce(numbered.replicate_number, 0) AS replicate_number, result.reported_on
FROM result_as_of($as_of_event) AS result
JOIN load ON load.load_id = result.load_id
LEFT JOIN said
    ON said.load_id = result.load_id AND said.cell_id = result.cell_id AND said.event_id = result.event_id
LEFT JOIN numbered ON numbered.key_id = result.key_id
WHERE ($analyte IS NULL OR result.analyte = $analyte)
    AND ($sample_point IS NULL OR result.sample_point = $sample_point)
ORDER BY result.collected_on DESC, result.collected_at DESC, result.result_id DESC
