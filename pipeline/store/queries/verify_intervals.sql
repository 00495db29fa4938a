SELECT result_id, from_event, to_event
FROM in_force
