-- Loads of the same file as a load, that were not withdrawn; their cells are read alike. The load itself comes first.
SELECT load_id
FROM load
WHERE file_id = (SELECT file_id FROM load WHERE load_id = $load_id)
    AND layout = (SELECT layout FROM load WHERE load_id = $load_id)
    AND load_id NOT IN (SELECT load_id FROM withdrawal)
ORDER BY load_id <> $load_id, load_id
