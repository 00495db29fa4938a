INSERT INTO logged_sample BY NAME
SELECT *, $load_id AS load_id, $event_id AS event_id
FROM arriving_line
ORDER BY logged_id
