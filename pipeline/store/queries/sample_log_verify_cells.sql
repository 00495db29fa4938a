-- Cells of sheets whose outcome and line do not belong together.
SELECT load_id, cell_id
FROM cell_outcome
JOIN (SELECT DISTINCT load_id FROM logged_sample) AS sheet USING (load_id)
LEFT JOIN logged_cell USING (load_id, cell_id, event_id)
WHERE (outcome IN ('new', 'revision', 'duplicate')) <> (logged_id IS NOT NULL)
UNION ALL
SELECT load_id, cell_id
FROM logged_sample
LEFT JOIN logged_cell USING (load_id, cell_id, event_id, logged_id)
WHERE logged_cell.logged_id IS NULL
