-- Small negative numbers of an analyte that cannot be less than none: noise around zero, reported uncensored.
SELECT cell_id
FROM {batch}
JOIN plant_analyte USING (analyte)
WHERE value_kind = 'number'
  AND value < 0
  AND plant_analyte.censorable
  AND plant_analyte.plausible_low = 0
  AND -canonical_value <= canonical_reporting_limit
