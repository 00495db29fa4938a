DELETE FROM reading_pending
WHERE change_id = $change_id
