INSERT INTO result BY NAME
SELECT decided.result_id, decided.key_id, $load_id AS load_id, $event_id AS event_id, as_result.*
FROM decided
JOIN as_result USING (cell_id)
WHERE decided.outcome IN ('new', 'revision')
ORDER BY decided.result_id
