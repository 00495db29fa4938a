SELECT key_id, result_id, event_id, status, revision, reported_on
FROM result
ORDER BY key_id, event_id
