-- The cells as read: every distinct spelling joined back to the cells that carry it.
INSERT INTO staged_cell BY NAME
SELECT
    written.* EXCLUDE (sender, named_on, set_aside),
    coalesce(nullif(written.set_aside, ''), identity.set_aside) AS set_aside,
    laboratory.meaning AS laboratory,
    identity.analyte,
    identity.analyte_problem,
    point.meaning AS sample_point,
    identity.fraction,
    identity.basis,
    identity.basis_problem,
    identity.unit,
    identity.unit_dimension,
    identity.unit_problem,
    -- A row with too few or too many cells may have every text in the wrong column: none of it is believed.
    CASE WHEN written.row_problem <> '' THEN 'unreadable' ELSE reading.value_kind END AS value_kind,
    CASE
        WHEN written.row_problem <> '' THEN NULL
        WHEN reading.value IS NULL AND reading.value_kind = 'below' AND reading.at_detection_limit
            THEN coalesce(detection.number, reporting.number)
        WHEN reading.value IS NULL AND reading.value_kind IN ('below', 'above')
            THEN coalesce(reporting.number, detection.number)
        ELSE reading.value
    END AS value,
    coalesce(nullif(written.row_problem, ''), reading.value_problem) AS value_problem,
    detection.number AS detection_limit,
    reporting.number AS reporting_limit,
    coalesce(
        nullif(detection.problem, ''),
        nullif(reporting.problem, ''),
        CASE WHEN written.detection_limit_text || written.reporting_limit_text <> '' THEN identity.limit_problem ELSE '' END
    ) AS limit_problem,
    identity.convertible,
    uncertainty.number AS uncertainty,
    sample_type.meaning AS sample_type,
    CASE
        WHEN lower(trim(written.reportable_text)) IN ('yes', 'y', 'true', '1', 'reportable') THEN 'yes'
        WHEN lower(trim(written.reportable_text)) IN ('no', 'n', 'false', '0', 'not reportable') THEN 'no'
        ELSE ''
    END AS reportable,
    concat_ws(
        ' ', nullif(sample_type.problem, ''), nullif(purpose.problem, ''), nullif(status.problem, ''),
        CASE
            WHEN reportable = '' AND trim(written.reportable_text) <> ''
                THEN 'the mark "' || trim(written.reportable_text) || '" for reportable is not known.'
        END
    ) AS word_problem,
    CASE WHEN sample_type.meaning LIKE 'quality control%' THEN 'quality control' ELSE purpose.meaning END AS purpose,
    coalesce(nullif(trim(written.confirmation_of_text), ''), purpose.confirmation_of) AS confirmation_of,
    reading.estimated,
    collected.instant AS collected_at,
    collected.local_date AS collected_on,
    collected.problem AS collected_problem,
    received.instant AS received_at,
    received.local_date AS received_on,
    filtered.instant AS filtered_at,
    filtered.local_date AS filtered_on,
    extracted.instant AS extracted_at,
    extracted.local_date AS extracted_on,
    analyzed.instant AS analyzed_at,
    analyzed.local_date AS analyzed_on,
    concat_ws(
        ' ',
        nullif(collected.doubt, ''),
        nullif(received.problem || received.doubt, ''),
        nullif(filtered.problem || filtered.doubt, ''),
        nullif(extracted.problem || extracted.doubt, ''),
        nullif(analyzed.problem || analyzed.doubt, ''),
        nullif(reported.problem, '')
    ) AS time_problem,
    temperature.number AS receipt_temperature_c,
    dilution.number AS dilution,
    status.meaning AS status,
    revision.number AS revision,
    reported.local_date AS reported_on
FROM written_cell AS written
JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
JOIN cell_identity AS named USING (cell_id)
JOIN identity USING (identity_id)
JOIN limit_spelling AS detection
    ON detection.identity_id = named.identity_id AND detection.text = written.detection_limit_text
JOIN limit_spelling AS reporting
    ON reporting.identity_id = named.identity_id AND reporting.text = written.reporting_limit_text
JOIN point_spelling AS point
    ON point.sender = written.sender AND point.point_text = written.point_text AND point.named_on = written.named_on
JOIN laboratory_spelling AS laboratory
    ON laboratory.sender = written.sender
    AND laboratory.laboratory_text = written.laboratory_text
    AND laboratory.named_on = written.named_on
JOIN sample_type_spelling AS sample_type ON sample_type.sample_type_text = written.sample_type_text
JOIN status_spelling AS status ON status.status_text = written.status_text
JOIN purpose_spelling AS purpose
    ON purpose.purpose_text = written.purpose_text AND purpose.sample_text = written.sample_text
JOIN number_spelling AS uncertainty ON uncertainty.text = written.uncertainty_text
JOIN number_spelling AS temperature ON temperature.text = written.receipt_temperature_text
JOIN number_spelling AS dilution ON dilution.text = written.dilution_text
JOIN number_spelling AS revision ON revision.text = written.revision_text
JOIN time_spelling AS collected ON collected.text = written.collected_text
JOIN time_spelling AS received ON received.text = written.received_text
JOIN time_spelling AS filtered ON filtered.text = written.filtered_text
JOIN time_spelling AS extracted ON extracted.text = written.extracted_text
JOIN time_spelling AS analyzed ON analyzed.text = written.analyzed_text
JOIN time_spelling AS reported ON reported.text = written.reported_text
