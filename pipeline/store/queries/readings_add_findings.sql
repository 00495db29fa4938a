INSERT INTO reading_finding BY NAME
SELECT $load_id AS load_id, * FROM arriving_row
