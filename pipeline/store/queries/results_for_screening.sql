-- Results as screening sees them, in order of collection: those in force, and those whose newest version their sender
-- rejected. A rejected value does not count, but one above a limit may not vanish without a word.
WITH newest AS (
    SELECT *
    FROM result
    WHERE key_id IN (SELECT key_id FROM result WHERE status = 'rejected')
    QUALIFY row_number() OVER (
        PARTITION BY key_id
        ORDER BY
            coalesce(revision, 0) DESC,
            reported_on DESC NULLS LAST,
            CASE status WHEN 'preliminary' THEN 0 WHEN 'final' THEN 1 ELSE 2 END DESC
    ) = 1
),
looked_at AS (
    FROM result_current
    UNION ALL
    FROM newest WHERE status = 'rejected'
),
excluded AS (
    SELECT load_id, cell_id, event_id, string_agg(message, ' ' ORDER BY rule_id) AS because
    FROM finding
    WHERE excludes_from_compliance AND severity <> 'hold'
    GROUP BY load_id, cell_id, event_id
)
SELECT
    result.result_id, result.sample_point, result.analyte, result.fraction, result.basis,
    coalesce(nullif(result.sample_text, ''), nullif(result.laboratory_sample_text, ''), result.collected_text) AS sample,
    result.purpose, result.confirmation_of, result.collected_on, result.collected_at, result.value_kind AS kind,
    result.value,
    result.value_text, coalesce(result.unit, '') AS unit, result.detection_limit, result.reporting_limit,
    result.laboratory, result.method_text AS method, coalesce(excluded.because, '') AS unusable_because,
    load.file_name AS file, result.line, result.column_name AS "column", result.reported_on
FROM looked_at AS result
JOIN load ON load.load_id = result.load_id
LEFT JOIN excluded
    ON excluded.load_id = result.load_id AND excluded.cell_id = result.cell_id AND excluded.event_id = result.event_id
WHERE list_contains($sample_points, result.sample_point) AND result.collected_on <= $until
    AND ($load_id IS NULL OR result.load_id = $load_id)
ORDER BY result.collected_on, result.collected_at, result.result_id
