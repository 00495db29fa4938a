-- The newest version counts from this event on, unless its sender rejected it.
INSERT INTO in_force
SELECT newest.result_id, newest.key_id, $event_id, NULL
FROM newest_version AS newest
WHERE newest.status <> 'rejected'
    AND NOT EXISTS (
        FROM in_force AS open WHERE open.result_id = newest.result_id AND open.to_event IS NULL
    )
