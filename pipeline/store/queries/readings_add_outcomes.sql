INSERT INTO reading_outcome BY NAME
SELECT $load_id AS load_id, * FROM arriving_row
