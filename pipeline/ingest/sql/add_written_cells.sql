-- The arriving cells, each with the number of its wording.
INSERT INTO written_cell
SELECT
    cell_id, line, wording_id, result_id_text, laboratory_sample_text, sample_text, value_text, uncertainty_text,
    confirmation_of_text, collected_text, received_text, filtered_text, extracted_text, analyzed_text, reported_text,
    receipt_temperature_text, batch_text, comment_text
FROM (
    SELECT * REPLACE (
        trim(detection_limit_text) AS detection_limit_text, trim(reporting_limit_text) AS reporting_limit_text
    )
    FROM delivered_cell
)
JOIN wording USING (
    column_name, set_aside, row_problem, sender_text, laboratory_text, point_text, analyte_text, cas_text, fraction_text,
    unit_text, basis_text, qualifier_text, condition_text, detection_limit_text, reporting_limit_text, limit_unit_text,
    method_text, sample_type_text, purpose_text, preservation_text, dilution_text, replicate_text, status_text,
    revision_text, reportable_text
)
