-- Receipt temperatures that are written, but not as a number.
SELECT cell_id
FROM {batch}
WHERE receipt_temperature_text <> '' AND receipt_temperature_c IS NULL
