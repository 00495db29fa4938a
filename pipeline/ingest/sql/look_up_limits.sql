-- A non-detect for which the file gives no limit takes the one that the layout knows; the most particular one wins, and
-- one for a method is more particular than one for a laboratory.
WITH candidate AS (
    SELECT
        written.cell_id,
        known AS best,
        2 * (known.method <> '')::INTEGER + (known.laboratory <> '')::INTEGER AS particular
    FROM written_cell AS written
    JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
    JOIN known_limit AS known
        ON known.analyte = lower(trim(regexp_replace(written.analyte_text, '\s+', ' ', 'g')))
        AND known.method IN ('', lower(trim(regexp_replace(written.method_text, '\s+', ' ', 'g'))))
        AND known.laboratory IN ('', lower(trim(regexp_replace(written.laboratory_text, '\s+', ' ', 'g'))))
    WHERE reading.value_kind = 'below'
        AND reading.value IS NULL
        AND written.reporting_limit_text = ''
        AND written.detection_limit_text = ''
)
UPDATE written_cell
SET reporting_limit_text = found.best.value, limit_unit_text = found.best.unit, limit_looked_up = true
FROM (
    SELECT cell_id, arg_max(best, particular) AS best
    FROM candidate
    GROUP BY cell_id
) AS found
WHERE written_cell.cell_id = found.cell_id
