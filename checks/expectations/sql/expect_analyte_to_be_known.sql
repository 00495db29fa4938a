-- Cells whose written analyte stands for no analyte of the plant.
SELECT cell_id, sentence(coalesce(nullif(analyte_problem, ''), '"' || analyte_text || '" is not a known analyte')) AS reason
FROM {batch}
WHERE analyte IS NULL
