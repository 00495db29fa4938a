SELECT key_id
FROM in_force
WHERE to_event IS NULL
GROUP BY key_id
HAVING count(*) > 1
