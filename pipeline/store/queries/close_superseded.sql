-- Versions that stop to count with this event: another version of the same result is now the newest one.
UPDATE in_force
SET to_event = $event_id
FROM newest_version AS newest
WHERE in_force.key_id = newest.key_id
    AND in_force.to_event IS NULL
    AND (in_force.result_id <> newest.result_id OR newest.status = 'rejected')
