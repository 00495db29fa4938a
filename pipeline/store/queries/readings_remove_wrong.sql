DELETE FROM reading
USING counting_wrongly
WHERE reading.tag_id = counting_wrongly.tag_id
    AND reading.read_at = counting_wrongly.read_at
    AND reading.delivered_by NOT IN (SELECT change_id FROM reading_pending)
