-- Bottles of which this event added a line.
CREATE OR REPLACE TEMP TABLE touched_bottle AS
SELECT DISTINCT logged.key_hash
FROM logged_cell AS said
JOIN logged_sample AS logged USING (logged_id)
WHERE said.event_id = $event_id
