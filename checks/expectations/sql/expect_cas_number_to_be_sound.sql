-- CAS numbers that fail their own check digit or have another shape: spreadsheets turn them into dates.
SELECT cell_id
FROM {batch}
WHERE cas_text <> '' AND NOT is_cas_number(trim(cas_text))
