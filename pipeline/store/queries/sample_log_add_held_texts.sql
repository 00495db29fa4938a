INSERT INTO held_text BY NAME
SELECT *, $load_id AS load_id, $event_id AS event_id
FROM arriving_held_text
