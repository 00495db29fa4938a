-- Cells whose CAS number is a sound one, but another substance's; or whose name is contradicted in another way.
WITH cell AS (FROM {batch}),
doubted AS (
    SELECT cell_id, analyte_problem AS reason
    FROM cell
    WHERE analyte IS NOT NULL
      AND analyte_problem <> ''
      AND (cas_text = '' OR is_cas_number(trim(cas_text)))
),
contradicted AS (
    SELECT cell_id, 'CAS number ' || trim(cas_text) || ' is not that of ' || analyte || ' (' || plant_analyte.cas_number || ')' AS reason
    FROM cell
    JOIN plant_analyte USING (analyte)
    WHERE cas_text <> ''
      AND analyte_problem = ''
      AND plant_analyte.cas_number <> ''
      AND is_cas_number(trim(cas_text))
      AND trim(cas_text) <> plant_analyte.cas_number
)
SELECT cell_id, sentence(reason) AS reason
FROM (FROM doubted UNION ALL FROM contradicted)
