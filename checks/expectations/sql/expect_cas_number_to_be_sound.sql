-- CAS numbers that fail their own check digit or have another shape: spreadsheets turn them into dates.
SELECT cell_id
FROM {batch}
JOIN written_cas_number USING (cas_text)
WHERE NOT sound
