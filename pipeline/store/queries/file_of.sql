SELECT file_id FROM file WHERE sha256 = $sha256
