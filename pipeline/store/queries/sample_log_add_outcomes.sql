-- A line of a sheet is no result: which line it is stands in logged_cell.
INSERT INTO cell_outcome BY NAME
SELECT cell_id, line, column_name, outcome, reason, NULL AS result_id, $load_id AS load_id, $event_id AS event_id
FROM arriving_outcome
ORDER BY cell_id
