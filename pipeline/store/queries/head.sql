SELECT
    coalesce((SELECT max(event_id) FROM event), 0),
    (SELECT max(happened_at) FROM event WHERE kind = 'load')
