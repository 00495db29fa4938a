SELECT load.load_id, load.file_name, file.sha256, load.layout, event.happened_at, withdrawal.load_id IS NOT NULL
FROM load
JOIN file USING (file_id)
JOIN event USING (event_id)
LEFT JOIN (SELECT DISTINCT load_id FROM withdrawal) AS withdrawal USING (load_id)
WHERE load.load_id = $load_id
