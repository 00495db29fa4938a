-- Results that a decision is about.
INSERT INTO touched_key
SELECT DISTINCT known.key_id
FROM decision
JOIN result_key AS known USING (key_hash)
WHERE decision.event_id = $event_id
