INSERT INTO event VALUES ($event_id, $kind, $happened_at, $who, $plant_version, $detail)
