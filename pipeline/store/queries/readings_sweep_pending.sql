DELETE FROM reading_pending
