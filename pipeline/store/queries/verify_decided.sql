-- Decisions on versions; of two on the same version at one event the last one counts, as everywhere.
SELECT event_id, key_hash, content_hash, action
FROM decision
WHERE key_hash <> '' AND scope <> 'sample'
ORDER BY event_id, action
