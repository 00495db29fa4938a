-- A concentration of exactly zero: no method can say that. Counts, field readings and radiochemistry with its uncertainty may.
SELECT cell_id
FROM {batch}
JOIN plant_analyte USING (analyte)
WHERE value_kind = 'number'
  AND value = 0
  AND unit_dimension = 'mass per volume'
  AND uncertainty IS NULL
  AND plant_analyte.censorable
  AND sample_type <> 'field measurement'
