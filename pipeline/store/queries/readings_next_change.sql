-- The number of the next change; one that was begun and died keeps its number.
SELECT 1 + greatest(
    coalesce((SELECT max(change_id) FROM reading_change), 0),
    coalesce((SELECT max(change_id) FROM reading_pending), 0)
)
