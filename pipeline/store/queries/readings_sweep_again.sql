DELETE FROM reading_again
WHERE delivered_by IN (SELECT change_id FROM reading_pending)
