-- Wordings of the arriving cells that no cell before them had.
INSERT INTO wording
SELECT (SELECT count(*) FROM wording) + row_number() OVER () - 1, *
FROM (
    SELECT DISTINCT
        column_name, set_aside, row_problem, sender_text, laboratory_text, point_text, analyte_text, cas_text,
        fraction_text, unit_text, basis_text, qualifier_text, condition_text, trim(detection_limit_text),
        trim(reporting_limit_text), limit_unit_text, method_text, sample_type_text, purpose_text, preservation_text,
        dilution_text, replicate_text, status_text, revision_text, reportable_text
    FROM delivered_cell
    EXCEPT
    SELECT * EXCLUDE (wording_id) FROM wording
)
