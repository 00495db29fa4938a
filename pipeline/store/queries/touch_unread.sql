INSERT INTO touched_key
SELECT DISTINCT result.key_id
FROM current_outcome AS before
JOIN result USING (result_id)
LEFT JOIN renumbered ON renumbered.cell_id = before.cell_id
WHERE before.load_id = $load_id AND renumbered.cell_id IS NULL
