-- Outcomes that matter for which version counts: those of a result, and those that replaced one.
SELECT event_id, load_id, cell_id, result_id
FROM cell_outcome
WHERE result_id IS NOT NULL OR load_id IN (SELECT load_id FROM reread)
ORDER BY event_id, load_id, cell_id
