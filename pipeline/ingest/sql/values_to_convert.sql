-- Values, and the limits that stand beside them, each with the way to the analyte's canonical unit and basis.
CREATE OR REPLACE TABLE value_to_convert AS
SELECT DISTINCT value, factor, addend
FROM (
    SELECT
        unnest([cell.value, coalesce(cell.reporting_limit, cell.detection_limit)]) AS value,
        identity.factor,
        identity.addend
    FROM staged_cell AS cell
    JOIN cell_identity USING (cell_id)
    JOIN identity USING (identity_id)
    WHERE identity.convertible
)
WHERE value IS NOT NULL AND (factor, addend) <> ('1', '0')
