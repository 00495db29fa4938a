-- Non-detects that say below what of nothing: no limit in the value, none beside it.
SELECT cell_id
FROM {batch}
WHERE value_kind IN ('below', 'above') AND value IS NULL AND limit_problem = ''
