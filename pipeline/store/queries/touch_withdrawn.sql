-- Results that a load says, before it is withdrawn.
INSERT INTO touched_key
SELECT DISTINCT result.key_id
FROM assertion AS said
JOIN result USING (result_id)
WHERE said.load_id = $load_id
