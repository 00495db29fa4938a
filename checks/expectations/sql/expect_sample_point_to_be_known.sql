-- Field samples whose sample point is none of the plant's.
SELECT cell_id
FROM {batch}
WHERE sample_point IS NULL AND NOT made_in_laboratory
