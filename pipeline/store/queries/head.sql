-- How far the store had come, and when data were last loaded.
SELECT
    coalesce(max(event_id), 0),
    max(happened_at) FILTER (kind = 'load')
FROM event
WHERE event_id <= coalesce($as_of_event, 9223372036854775807)
