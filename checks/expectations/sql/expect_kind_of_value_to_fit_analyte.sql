-- Words where the analyte is measured: "present" for lead, a plate too full to count for nitrate.
SELECT cell_id
FROM {batch}
JOIN plant_analyte USING (analyte)
WHERE (
    value_kind IN ('present', 'absent')
    AND NOT list_contains(plant_analyte.value_kinds, 'present/absent')
    AND NOT list_contains(plant_analyte.value_kinds, 'text')
) OR (
    value_kind = 'too numerous to count'
    AND NOT list_contains(plant_analyte.value_kinds, 'count')
)
