-- Collection times that are written, but that no date comes out of.
SELECT cell_id, sentence(coalesce(nullif(collected_problem, ''), '"' || collected_text || '" is not a date or time')) AS reason
FROM {batch}
WHERE collected_text <> '' AND collected_on IS NULL
