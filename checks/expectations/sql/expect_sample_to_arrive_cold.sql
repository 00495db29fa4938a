-- Samples warmer at receipt than their method allows. On the day of collection cooling may only have begun, where the
-- file says that they were on ice.
SELECT
    cell_id,
    plain_number(min(CASE WHEN is_early THEN receipt_early_max_c ELSE receipt_max_c END)) AS allowed_c
FROM (
    SELECT
        cell_id, receipt_temperature_c, receipt_max_c, receipt_inclusive, receipt_early_max_c,
        coalesce(hours_after(collected_at, collected_on, received_at, received_on) <= receipt_early_hours, false) AS is_early
    FROM {batch}
    JOIN cell_holding_case USING (cell_id)
    JOIN holding_rule USING (case_id)
    WHERE receipt_temperature_c IS NOT NULL
      AND receipt_max_c IS NOT NULL
      AND NOT coalesce(
          received_on = collected_on AND regexp_matches(lower(preservation_text || ' ' || comment_text), '\bice\b'),
          false
      )
)
WHERE receipt_temperature_c > CASE WHEN is_early THEN receipt_early_max_c ELSE receipt_max_c END
   OR (NOT is_early AND NOT receipt_inclusive AND receipt_temperature_c = receipt_max_c)
GROUP BY cell_id
