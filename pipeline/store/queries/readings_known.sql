-- What loads that were not taken back said of some tags between two instants.
WITH taken_back AS (
    SELECT change.change_id
    FROM reading_change AS change
    JOIN withdrawal USING (load_id)
),
said AS (
    SELECT tag_id, read_at, value, flag, delivered_by, true AS in_force
    FROM reading_in_force
    WHERE read_at >= $start AND read_at < $end AND tag_id >= $first_tag AND tag_id <= $last_tag
    UNION ALL
    SELECT tag_id, read_at, value, flag, delivered_by, false
    FROM reading_past
    WHERE read_at >= $start AND read_at < $end AND tag_id >= $first_tag AND tag_id <= $last_tag
    UNION ALL
    SELECT tag_id, read_at, value, flag, delivered_by, false
    FROM reading_again
    WHERE read_at >= $start
        AND read_at < $end
        AND tag_id >= $first_tag
        AND tag_id <= $last_tag
        AND delivered_by NOT IN (SELECT change_id FROM reading_pending)
)
SELECT tag_id, epoch_us(read_at) AS read_us, value, flag, in_force
FROM said
WHERE list_contains($tags, tag_id) AND (in_force OR delivered_by NOT IN (FROM taken_back))
