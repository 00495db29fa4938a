-- Changes that were completed after a change that is still pending had begun.
SELECT change_id
FROM reading_change
WHERE change_id > $change_id
