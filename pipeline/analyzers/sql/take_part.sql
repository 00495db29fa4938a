-- The readings of some days and tags, in the order in which they are stored.
CREATE OR REPLACE TEMP TABLE part AS
SELECT tag_id, read_us, value, flag, line, doubtful
FROM arrived
WHERE read_us >= $start AND read_us < $end AND tag_id >= $first_tag AND tag_id <= $last_tag
ORDER BY tag_id, read_us, line
