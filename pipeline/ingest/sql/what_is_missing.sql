-- What each cell says of itself, and what of it could not be read.
SELECT
    cell_id,
    coalesce(nullif(trim(sender_text), ''), trim(laboratory_text)) AS sender,
    laboratory_text, analyte_text, cas_text, fraction_text, method_text, point_text, sample_text, condition_text,
    CASE WHEN trim(unit_text) = '' AND value_kind IN ('below', 'above') THEN limit_unit_text ELSE unit_text END AS unit_text,
    analyte,
    analyte IS NULL AS analyte_missing,
    sample_point IS NULL AS point_missing,
    unit_problem <> '' AS unit_missing,
    basis_problem <> '' AS basis_missing,
    value_kind IN ('below', 'above') AND value IS NULL AND limit_problem = '' AS limit_missing,
    value_kind = 'unreadable' AND trim(condition_text) <> '' AS condition_missing
FROM staged_cell
WHERE set_aside = ''
ORDER BY cell_id
