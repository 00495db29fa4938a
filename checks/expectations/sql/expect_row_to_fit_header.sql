-- Rows with more or fewer cells than the header: what stands under which name is not sure.
SELECT cell_id, sentence(row_problem) AS reason
FROM {batch}
WHERE row_problem <> ''
