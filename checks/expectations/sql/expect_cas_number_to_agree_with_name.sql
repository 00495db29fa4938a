-- Cells whose CAS number is a sound one, but another substance's; or whose name is contradicted in another way.
WITH cell AS (FROM {batch}),
doubted AS (
    SELECT cell_id, analyte_problem AS reason
    FROM cell
    LEFT JOIN written_cas_number USING (cas_text)
    WHERE analyte IS NOT NULL AND analyte_problem <> '' AND coalesce(sound, true)
),
contradicted AS (
    SELECT
        cell_id,
        'CAS number ' || written_number || ' is not that of ' || analyte || ' (' || plant_analyte.cas_number || ')' AS reason
    FROM cell
    JOIN plant_analyte USING (analyte)
    JOIN written_cas_number USING (cas_text)
    WHERE analyte_problem = '' AND sound AND plant_analyte.cas_number NOT IN ('', written_number)
)
SELECT cell_id, sentence(reason) AS reason
FROM (FROM doubted UNION ALL FROM contradicted)
