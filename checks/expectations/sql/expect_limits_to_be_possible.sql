-- Limits that cannot be: below zero, or zero under a non-detect.
SELECT
    cell_id,
    CASE
        WHEN detection_limit < 0 THEN 'detection limit ' || detection_limit_text
        WHEN reporting_limit < 0 THEN 'reporting limit ' || reporting_limit_text
        ELSE 'non-detect below ' || plain_number(value)
    END AS impossible
FROM {batch}
WHERE detection_limit < 0 OR reporting_limit < 0 OR (value_kind = 'below' AND value <= 0)
