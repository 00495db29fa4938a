-- The statements as read: every distinct spelling joined back to the statements that carry it.
CREATE OR REPLACE TABLE read_statement AS
SELECT
    said.* EXCLUDE (named_on, unit_rule, needs_limit, set_aside),
    coalesce(nullif(said.set_aside, ''), identity.set_aside) AS set_aside,
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
    detection.number AS detection_limit,
    reporting.number AS reporting_limit,
    coalesce(
        nullif(detection.problem, ''),
        nullif(reporting.problem, ''),
        CASE WHEN said.detection_limit_text || said.reporting_limit_text <> '' THEN identity.limit_problem ELSE '' END
    ) AS limit_problem,
    identity.convertible,
    identity.factor,
    identity.addend,
    sample_type.meaning AS sample_type,
    CASE
        WHEN lower(trim(said.reportable_text)) IN ('yes', 'y', 'true', '1', 'reportable') THEN 'yes'
        WHEN lower(trim(said.reportable_text)) IN ('no', 'n', 'false', '0', 'not reportable') THEN 'no'
        ELSE ''
    END AS reportable,
    concat_ws(
        ' ', nullif(sample_type.problem, ''), nullif(purpose.problem, ''), nullif(status.problem, ''),
        CASE
            WHEN reportable = '' AND trim(said.reportable_text) <> ''
                THEN 'the mark "' || trim(said.reportable_text) || '" for reportable is not known.'
        END
    ) AS word_problem,
    sample_type.meaning LIKE 'quality control%' AS is_quality_control,
    purpose.meaning AS purpose_by_word,
    dilution.number AS dilution,
    status.meaning AS status,
    revision.number AS revision
FROM statement AS said
JOIN written_identity
    USING (sender, named_on, analyte_text, cas_text, fraction_text, basis_text, unit_text, limit_unit_text, unit_rule)
JOIN identity USING (identity_id)
JOIN limit_spelling AS detection
    ON detection.identity_id = identity.identity_id AND detection.text = said.detection_limit_text
JOIN limit_spelling AS reporting
    ON reporting.identity_id = identity.identity_id AND reporting.text = said.reporting_limit_text
JOIN point_spelling AS point
    ON point.sender = said.sender AND point.point_text = said.point_text AND point.named_on = said.named_on
JOIN laboratory_spelling AS laboratory
    ON laboratory.sender = said.sender
    AND laboratory.laboratory_text = said.laboratory_text
    AND laboratory.named_on = said.named_on
JOIN sample_type_spelling AS sample_type ON sample_type.sample_type_text = said.sample_type_text
JOIN status_spelling AS status ON status.status_text = said.status_text
JOIN purpose_spelling AS purpose ON purpose.purpose_text = said.purpose_text AND purpose.sample_text = ''
JOIN number_spelling AS dilution ON dilution.text = said.dilution_text
JOIN number_spelling AS revision ON revision.text = said.revision_text
