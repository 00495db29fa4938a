-- Readings of a tag that count, from an instant up to but without another, in order.
CREATE OR REPLACE TEMP TABLE counting_between AS
SELECT tag_id, epoch_us(read_at) AS read_us, value, flag
FROM reading_in_force
WHERE tag_id = $tag_id AND read_at >= $start AND read_at < $end
ORDER BY read_at
