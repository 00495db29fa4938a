-- The change by which a load of readings came; none for a load of something else.
SELECT min(change_id)
FROM reading_change
WHERE load_id = $load_id
HAVING count(*) > 0
