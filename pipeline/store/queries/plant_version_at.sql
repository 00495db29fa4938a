-- The plant folder that was last used by then.
SELECT version.sha256
FROM event
JOIN plant_version AS version USING (plant_version)
WHERE event.event_id <= coalesce($as_of_event, 9223372036854775807)
ORDER BY event.event_id DESC
LIMIT 1
