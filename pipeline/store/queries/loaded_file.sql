SELECT load.load_id, load.file_name, file.sha256, load.layout
FROM load
JOIN file USING (file_id)
WHERE load.load_id = $load_id
