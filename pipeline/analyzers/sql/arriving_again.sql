-- Readings of a part that are known.
SELECT tag_id, make_timestamptz(read_us) AS read_at, value, flag, line
FROM decided
WHERE outcome = 'duplicate'
