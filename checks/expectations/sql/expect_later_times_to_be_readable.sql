-- Times after collection that are written, but that no date comes out of.
SELECT cell_id, sentence(coalesce(nullif(time_problem, ''), 'A time is not a date or time')) AS reason
FROM {batch}
WHERE (received_text <> '' AND received_on IS NULL)
   OR (filtered_text <> '' AND filtered_on IS NULL)
   OR (extracted_text <> '' AND extracted_on IS NULL)
   OR (analyzed_text <> '' AND analyzed_on IS NULL)
   OR (reported_text <> '' AND reported_on IS NULL)
