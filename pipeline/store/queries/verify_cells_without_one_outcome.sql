SELECT DISTINCT load_id, cell_id
FROM cell_outcome
GROUP BY load_id, cell_id, event_id
HAVING count(*) <> 1
UNION
SELECT load_id, cell_id
FROM current_outcome
ANTI JOIN logged_cell USING (load_id, cell_id, event_id)
WHERE (outcome IN ('new', 'revision', 'duplicate')) <> (result_id IS NOT NULL)
