-- Numbers whose stored decimal is not the number that was written. Texts with marks around the number (< ND ...) are
-- compared by the number they hold. A short text without an exponent cannot have more than 15 decimals.
WITH written AS (
    SELECT cell_id, value, regexp_extract(value_text, '[-+]?[0-9]*[.]?[0-9]+([eE][-+]?[0-9]+)?') AS number_text
    FROM {batch}
    WHERE (length(value_text) > 15 OR contains(lower(value_text), 'e'))
      AND value IS NOT NULL
      AND value_kind IN ('number', 'below', 'above')
)
SELECT cell_id, number_text, plain_number(value) AS stored_text
FROM written
WHERE number_text <> ''
  AND (
      TRY_CAST(number_text AS DECIMAL(38, 18)) <> TRY_CAST(value AS DECIMAL(38, 18))
      OR (value = 0 AND regexp_matches(number_text, '^[^eE]*[1-9]'))
  )
