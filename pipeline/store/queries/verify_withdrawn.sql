SELECT event_id, load_id
FROM withdrawal
