-- Numbers outside what is physically possible for the analyte. A small negative number of a concentration, no farther
-- below zero than its own limit, is noise and not impossible: it is flagged by another rule.
SELECT
    cell_id,
    concat_ws(
        ' and ',
        'at least ' || plain_number(plant_analyte.plausible_low),
        'at most ' || plain_number(plant_analyte.plausible_high)
    ) || ' ' || plant_analyte.canonical_unit AS possible_range
FROM {batch}
JOIN plant_analyte USING (analyte)
WHERE value_kind IN ('number', 'below', 'above')
  AND (
      canonical_value > plant_analyte.plausible_high
      OR (
          value_kind = 'number'
          AND canonical_value < plant_analyte.plausible_low
          AND NOT coalesce(
              plant_analyte.censorable AND plant_analyte.plausible_low = 0 AND -canonical_value <= canonical_reporting_limit,
              false
          )
      )
  )
