-- Censored values whose limit the file does not give, so that it was looked up in the layout.
SELECT cell_id
FROM {batch}
WHERE limit_looked_up
