-- Censored values whose limit the file does not give, so that it was looked up in the layout.
SELECT cell_id, plain_number(value) || ' ' || coalesce(unit, '') AS looked_up
FROM {batch}
WHERE limit_looked_up
