-- Tags and times of which not the version counts that the loads make, where more than one load spoke or one was taken
-- back: of those that are still said the one that came last, and none where none is said.
WITH taken_back AS (
    SELECT change.change_id
    FROM reading_change AS change
    JOIN withdrawal USING (load_id)
),
key AS (
    SELECT tag_id, read_at FROM reading_past
    UNION
    SELECT tag_id, read_at FROM reading_again WHERE delivered_by NOT IN (SELECT change_id FROM reading_pending)
    UNION
    SELECT tag_id, read_at FROM reading_in_force WHERE delivered_by IN (FROM taken_back)
),
said AS (
    SELECT tag_id, read_at, value, flag, delivered_by FROM reading_in_force SEMI JOIN key USING (tag_id, read_at)
    UNION
    SELECT tag_id, read_at, value, flag, delivered_by FROM reading_past
    UNION
    SELECT tag_id, read_at, value, flag, delivered_by
    FROM reading_again
    WHERE delivered_by NOT IN (SELECT change_id FROM reading_pending)
),
version AS (
    SELECT tag_id, read_at, value, flag, min(delivered_by) AS delivered_by
    FROM said
    WHERE delivered_by NOT IN (FROM taken_back)
    GROUP BY tag_id, read_at, value, flag
),
newest AS (
    SELECT tag_id, read_at, max_by(struct_pack(value, flag, delivered_by), delivered_by) AS counting
    FROM version
    GROUP BY tag_id, read_at
)
SELECT tag.tag, key.read_at::VARCHAR
FROM key
JOIN analyzer_tag AS tag USING (tag_id)
LEFT JOIN newest USING (tag_id, read_at)
LEFT JOIN reading_in_force AS reading USING (tag_id, read_at)
WHERE counting.value IS DISTINCT FROM reading.value
    OR counting.flag IS DISTINCT FROM reading.flag
    OR counting.delivered_by IS DISTINCT FROM reading.delivered_by
ORDER BY ALL
