-- What other loads that were not taken back say of the tags and times of a load that is: by event already withdrawn.
CREATE OR REPLACE TEMP TABLE said_beside AS
WITH taken_back AS (
    SELECT change.change_id
    FROM reading_change AS change
    JOIN withdrawal USING (load_id)
),
own AS (
    SELECT tag_id, read_at FROM reading WHERE delivered_by = $delivered_by
    UNION
    SELECT tag_id, read_at FROM reading_past WHERE delivered_by = $delivered_by
),
said AS (
    SELECT tag_id, read_at, value, flag, line, delivered_by FROM reading_in_force
    UNION
    SELECT tag_id, read_at, value, flag, line, delivered_by FROM reading_past
    UNION
    SELECT tag_id, read_at, value, flag, line, delivered_by
    FROM reading_again
    WHERE delivered_by NOT IN (SELECT change_id FROM reading_pending)
),
version AS (
    SELECT
        tag_id, read_at, value, flag, min(delivered_by) AS delivered_by, arg_min(line, delivered_by) AS line
    FROM said
    SEMI JOIN own USING (tag_id, read_at)
    WHERE delivered_by <> $delivered_by AND delivered_by NOT IN (FROM taken_back)
    GROUP BY tag_id, read_at, value, flag
),
newest AS (
    SELECT tag_id, read_at, max_by(struct_pack(value, flag, delivered_by, line), delivered_by) AS counting
    FROM version
    GROUP BY tag_id, read_at
)
SELECT own.tag_id, own.read_at, counting.value, counting.flag, counting.delivered_by, counting.line
FROM own
LEFT JOIN newest USING (tag_id, read_at)
