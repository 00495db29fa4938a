-- Results as screening sees them, in order of collection: those in force, and versions that would count had their sender
-- or a person not rejected them. A rejected value does not count, but one above a limit may not vanish without a word.
WITH rejected_by_person AS (
    SELECT * FROM version_decision_as_of($as_of_event) WHERE action = 'reject'
),
-- Keys with a rejected version; only these need their versions compared.
disputed_key AS (
    SELECT key_id FROM result WHERE status = 'rejected'
    UNION
    SELECT key_id FROM result_key WHERE key_hash IN (SELECT key_hash FROM rejected_by_person)
),
said_by_a_load AS (
    SELECT DISTINCT result_id
    FROM outcome_as_of($as_of_event)
    WHERE result_id IN (SELECT result_id FROM result WHERE key_id IN (FROM disputed_key))
        AND load_id NOT IN (SELECT load_id FROM withdrawn_as_of($as_of_event))
),
newest AS (
    SELECT *
    FROM result
    WHERE result_id IN (FROM said_by_a_load)
    QUALIFY rank() OVER (
        PARTITION BY key_id
        ORDER BY
            coalesce(revision, 0) DESC, status <> 'preliminary' DESC, reported_on DESC NULLS LAST,
            status = 'rejected' DESC
    ) = 1
),
looked_at AS (
    FROM result_as_of($as_of_event)
    UNION ALL
    SELECT newest.*
    FROM newest
    JOIN result_key AS known USING (key_id)
    LEFT JOIN rejected_by_person AS against
        ON against.key_hash = known.key_hash AND against.content_hash = newest.content_hash
    WHERE newest.status = 'rejected' OR against.key_hash IS NOT NULL
    QUALIFY row_number() OVER (PARTITION BY newest.key_id, newest.content_hash ORDER BY newest.result_id DESC) = 1
),
excluded AS (
    SELECT load_id, cell_id, event_id, string_agg(message, ' ' ORDER BY rule_id) AS because
    FROM finding
    WHERE excludes_from_compliance AND severity <> 'hold'
    GROUP BY load_id, cell_id, event_id
),
-- A result without our own sample identifier belongs to the sample that its laboratory calls the same.
own_sample AS (
    SELECT laboratory, laboratory_sample_text, min(sample_text) AS sample_text
    FROM result_as_of($as_of_event)
    WHERE sample_text <> '' AND laboratory_sample_text <> ''
    GROUP BY laboratory, laboratory_sample_text
    HAVING count(DISTINCT sample_text) = 1
),
-- So does one whose custody sheet bears the laboratory's identifier beside our own.
sample_of_sheet AS (
    SELECT laboratory, laboratory_sample, min(sample) AS sample
    FROM sample_line_as_of($as_of_event)
    WHERE laboratory_sample <> ''
    GROUP BY laboratory, laboratory_sample
    HAVING count(DISTINCT sample) = 1
)
SELECT
    result.result_id, result.sample_point, result.analyte, result.fraction, result.basis,
    coalesce(
        nullif(result.sample_text, ''), own_sample.sample_text, sample_of_sheet.sample,
        nullif(result.laboratory_sample_text, ''), result.collected_text
    ) AS sample,
    -- Why a sample was taken is its sampler's word, whenever the sheet arrives; a laboratory's own quality control
    -- made from the same bottle stays what it is.
    CASE
        WHEN result.purpose = 'quality control' THEN result.purpose
        ELSE coalesce(nullif(sheet.purpose, ''), result.purpose)
    END AS purpose,
    coalesce(nullif(sheet.confirmation_of, ''), result.confirmation_of) AS confirmation_of,
    result.collected_on, result.collected_at, result.value_kind AS kind, result.value,
    result.value_text, coalesce(result.unit, '') AS unit, result.detection_limit, result.reporting_limit,
    result.laboratory, result.method_text AS method,
    concat_ws(
        ' ',
        excluded.because,
        'rejected by ' || against.who || ' on ' || strftime(against.happened_at, '%Y-%m-%d') || ': ' || against.reason
    ) AS unusable_because,
    load.file_name AS file, result.line, result.column_name AS "column", result.reported_on,
    coalesce(against.agency_reference, '') AS rejection_reference,
    result.status, result.reportable,
    coalesce('chosen by ' || choice.who || ' on ' || strftime(choice.happened_at, '%Y-%m-%d') || ': ' || choice.reason, '')
        AS chosen_because,
    coalesce(choice.agency_reference, '') AS choice_reference
FROM looked_at AS result
JOIN result_key AS known ON known.key_id = result.key_id
JOIN load ON load.load_id = result.load_id
LEFT JOIN excluded
    ON excluded.load_id = result.load_id AND excluded.cell_id = result.cell_id AND excluded.event_id = result.event_id
LEFT JOIN own_sample
    ON own_sample.laboratory = result.laboratory
    AND own_sample.laboratory_sample_text = result.laboratory_sample_text
LEFT JOIN sample_of_sheet
    ON sample_of_sheet.laboratory = result.laboratory
    AND sample_of_sheet.laboratory_sample = result.laboratory_sample_text
LEFT JOIN sample_log_as_of($as_of_event) AS sheet
    ON sheet.sample = coalesce(nullif(result.sample_text, ''), own_sample.sample_text, sample_of_sheet.sample)
LEFT JOIN rejected_by_person AS against
    ON against.key_hash = known.key_hash AND against.content_hash = result.content_hash
LEFT JOIN choice_as_of($as_of_event) AS choice
    ON choice.key_hash = known.key_hash AND choice.content_hash = result.content_hash
WHERE list_contains($sample_points, result.sample_point) AND result.collected_on <= $until
    AND ($load_id IS NULL OR result.load_id = $load_id)
ORDER BY result.collected_on, result.collected_at, result.result_id
