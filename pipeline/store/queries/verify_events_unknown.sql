SELECT DISTINCT of_event.what, of_event.event_id
FROM (
    SELECT 'load' AS what, event_id FROM load
    UNION ALL SELECT 'outcome', event_id FROM cell_outcome
    UNION ALL SELECT 'withdrawal', event_id FROM withdrawal
    UNION ALL SELECT 'reading', event_id FROM reread
    UNION ALL SELECT 'decision', event_id FROM decision
) AS of_event
ANTI JOIN event USING (event_id)
