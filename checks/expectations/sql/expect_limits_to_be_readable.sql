-- Cells whose detection or reporting limit cannot be read, or not be brought to the unit of the value.
SELECT
    cell_id,
    sentence(
        coalesce(
            nullif(limit_problem, ''),
            CASE WHEN reporting_limit IS NULL THEN reporting_limit_text ELSE detection_limit_text END
            || ' ' || limit_unit_text || ' as a limit cannot be brought to the unit "' || unit_text || '"'
        )
    ) AS reason
FROM {batch}
WHERE limit_problem <> ''
   OR (reporting_limit_text <> '' AND reporting_limit IS NULL)
   OR (detection_limit_text <> '' AND detection_limit IS NULL)
