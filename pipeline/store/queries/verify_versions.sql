SELECT
    result.result_id, result.key_id, known.key_hash, result.content_hash, result.status, result.revision,
    result.reported_on
FROM result
JOIN result_key AS known USING (key_id)
