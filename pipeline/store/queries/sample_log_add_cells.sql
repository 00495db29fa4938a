INSERT INTO logged_cell BY NAME
SELECT cell_id, logged_id, $load_id AS load_id, $event_id AS event_id
FROM arriving_outcome
WHERE logged_id IS NOT NULL
ORDER BY cell_id
