DELETE FROM reading
WHERE delivered_by IN (SELECT change_id FROM reading_pending)
