-- Field samples without any word of when they were taken.
SELECT cell_id
FROM {batch}
WHERE collected_text = '' AND collected_on IS NULL AND NOT made_in_laboratory
