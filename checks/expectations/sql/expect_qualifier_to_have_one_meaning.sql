-- Laboratory flags that mean different things at different laboratories: B, D, E, H, N and P.
SELECT cell_id
FROM {batch}
WHERE has_qualifier(qualifier_text, ['B', 'D', 'E', 'H', 'N', 'P'])
