-- A version of a result, as the target of a decision.
SELECT
    known.key_hash, result.content_hash, result.sample_point,
    coalesce(nullif(result.sample_text, ''), nullif(result.laboratory_sample_text, ''), result.collected_text) AS sample,
    result.analyte, result.fraction
FROM result
JOIN result_key AS known USING (key_id)
WHERE result.result_id = $result_id
