INSERT INTO finding BY NAME
SELECT *, false AS excludes_from_compliance, $load_id AS load_id, $event_id AS event_id
FROM arriving_line_finding
