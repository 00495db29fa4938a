-- What was read in the field when a sample was taken, in the order of its file.
SELECT
    result.sample_text AS sample, result.analyte, result.value_kind, result.value_text,
    coalesce(result.unit, result.unit_text) AS unit, result.collected_at, load.file_name AS file, result.line
FROM result_as_of($as_of_event) AS result
JOIN load USING (load_id)
WHERE result.sample_type = 'field measurement' AND result.sample_text <> ''
    AND ($sample IS NULL OR result.sample_text = $sample)
ORDER BY result.sample_text, result.load_id, result.line, result.column_name
