-- Each value in the canonical unit and basis; as reported where that is the canonical one already.
UPDATE staged_cell
SET canonical_value = filled.canonical_value, canonical_reporting_limit = filled.canonical_reporting_limit
FROM (
    SELECT
        cell.cell_id,
        CASE WHEN as_reported THEN cell.value ELSE of_value.converted END AS canonical_value,
        CASE WHEN as_reported THEN cell.either_limit ELSE of_limit.converted END AS canonical_reporting_limit
    FROM (
        SELECT
            staged_cell.cell_id,
            staged_cell.value,
            coalesce(staged_cell.reporting_limit, staged_cell.detection_limit) AS either_limit,
            identity.factor,
            identity.addend,
            (identity.factor, identity.addend) = ('1', '0') AS as_reported
        FROM staged_cell
        JOIN cell_identity USING (cell_id)
        JOIN identity USING (identity_id)
        WHERE identity.convertible
    ) AS cell
    LEFT JOIN converted_value AS of_value
        ON of_value.value = cell.value AND of_value.factor = cell.factor AND of_value.addend = cell.addend
    LEFT JOIN converted_value AS of_limit
        ON of_limit.value = cell.either_limit AND of_limit.factor = cell.factor AND of_limit.addend = cell.addend
) AS filled
WHERE staged_cell.cell_id = filled.cell_id
