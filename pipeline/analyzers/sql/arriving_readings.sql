-- Readings of a part that begin to count.
SELECT tag_id, make_timestamptz(read_us) AS read_at, value, flag, line
FROM decided
WHERE outcome <> 'duplicate'
