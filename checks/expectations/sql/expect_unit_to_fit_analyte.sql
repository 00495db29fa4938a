-- Numbers in a unit that neither converts to the analyte's own nor is accepted beside it.
SELECT cell_id, plant_analyte.canonical_unit AS own_unit
FROM {batch}
JOIN plant_analyte USING (analyte)
WHERE needs_unit
  AND unit IS NOT NULL
  AND unit_problem = ''
  AND basis_problem = ''
  AND NOT convertible
  AND NOT list_contains(plant_analyte.also_accepted_units, unit)
