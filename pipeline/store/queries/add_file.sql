INSERT INTO file
SELECT (SELECT coalesce(max(file_id), 0) + 1 FROM file), $sha256, $other
RETURNING file_id
