-- A non-detect for which the file gives no limit takes the one that the layout knows; the most particular one wins.
WITH candidate AS (
    SELECT
        written.cell_id,
        known.value,
        known.unit,
        (known.method <> '')::INTEGER + (known.laboratory <> '')::INTEGER AS particular
    FROM written_cell AS written
    JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
    JOIN known_limit AS known
        ON known.analyte = lower(trim(written.analyte_text))
        AND known.method IN ('', lower(trim(written.method_text)))
        AND known.laboratory IN ('', lower(trim(written.laboratory_text)))
    WHERE reading.value_kind = 'below'
        AND reading.value IS NULL
        AND written.reporting_limit_text = ''
        AND written.detection_limit_text = ''
)
UPDATE written_cell
SET reporting_limit_text = found.value, limit_unit_text = found.unit, limit_looked_up = true
FROM (
    SELECT cell_id, arg_max(value, particular) AS value, arg_max(unit, particular) AS unit
    FROM candidate
    GROUP BY cell_id
) AS found
WHERE written_cell.cell_id = found.cell_id
