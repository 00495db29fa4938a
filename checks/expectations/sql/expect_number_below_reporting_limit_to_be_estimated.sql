-- Numbers below their own reporting limit that nobody calls an estimate.
SELECT cell_id
FROM {batch}
WHERE value_kind = 'number'
  AND value > 0
  AND value < reporting_limit
  AND NOT estimated
  AND NOT has_qualifier(qualifier_text, ['J', 'J+', 'J-', 'UJ', 'NJ', 'EST', 'ESTIMATED', 'DNQ', 'R'])
