-- Detection limits above the reporting limit they should support.
SELECT cell_id
FROM {batch}
WHERE detection_limit > reporting_limit
