-- Non-detects at a level above the lowest limit in force there on the day of collection.
WITH unproven AS (
    SELECT
        cell_id,
        plain_number(any_value(cell.value)) || ' ' || any_value(cell.unit) AS level,
        min_by(limit_to_prove.limit_text, limit_to_prove.canonical_value) AS limit_text
    FROM (FROM {batch}) AS cell
    JOIN limit_to_prove USING (analyte, sample_point)
    WHERE cell.value_kind = 'below'
      AND cell.canonical_value > limit_to_prove.canonical_value
      AND coalesce(cell.collected_on >= limit_to_prove.effective_from, true)
      AND coalesce(cell.collected_on <= limit_to_prove.effective_to, true)
    GROUP BY cell_id
)
SELECT cell_id, level, limit_text
FROM unproven
