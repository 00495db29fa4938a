-- Versions that stop to count with this event: another version counts now, or none does.
UPDATE in_force
SET to_event = $event_id
WHERE to_event IS NULL
    AND key_id IN (SELECT key_id FROM touched_key)
    AND result_id NOT IN (SELECT result_id FROM newest_version WHERE status <> 'rejected')
