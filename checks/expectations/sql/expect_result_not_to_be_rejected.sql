-- Results whose status or qualifier says that they are rejected.
SELECT cell_id, CASE WHEN status = 'rejected' THEN 'status ' || coalesce(nullif(status_text, ''), status) ELSE 'qualifier ' || qualifier_text END AS said_by
FROM {batch}
WHERE status = 'rejected' OR has_qualifier(qualifier_text, ['R', 'REJ', 'REJECTED'])
