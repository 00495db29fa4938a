-- Readings that count and no longer should: another one takes their place, or none.
CREATE OR REPLACE TEMP TABLE counting_wrongly AS
SELECT reading.tag_id, reading.read_at
FROM reading_in_force AS reading
JOIN said_beside USING (tag_id, read_at)
WHERE said_beside.delivered_by IS DISTINCT FROM reading.delivered_by
