-- The last event up to which everything had happened by a time; 0 before the first.
SELECT coalesce(
    (SELECT min(event_id) - 1 FROM event WHERE happened_at > $at),
    (SELECT max(event_id) FROM event),
    0
)
