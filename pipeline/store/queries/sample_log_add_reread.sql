INSERT INTO reread BY NAME
SELECT $event_id AS event_id, $load_id AS load_id
