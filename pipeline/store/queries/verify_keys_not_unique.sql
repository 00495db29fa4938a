SELECT key_hash
FROM result_key
GROUP BY key_hash
HAVING count(*) > 1
