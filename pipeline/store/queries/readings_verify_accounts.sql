-- Loads of which other readings are there than their accounts say.
WITH delivered AS (
    SELECT min(change_id) AS change_id, load_id FROM reading_change GROUP BY load_id
),
brought AS (
    SELECT delivered_by, count(*) AS readings
    FROM (
        SELECT tag_id, read_at, delivered_by FROM reading_past
        UNION
        SELECT tag_id, read_at, delivered_by FROM reading WHERE counts_from <> delivered_by
    )
    ANTI JOIN reading_again USING (tag_id, read_at, delivered_by)
    GROUP BY delivered_by
),
counting AS (
    SELECT delivered_by, count(*) AS readings FROM reading WHERE counts_from = delivered_by GROUP BY delivered_by
),
known AS (
    SELECT delivered_by, count(*) AS readings FROM reading_again GROUP BY delivered_by
),
told AS (
    SELECT
        load_id, coalesce(sum(cells) FILTER (outcome IN ('new', 'revision')), 0) AS brought,
        coalesce(sum(cells) FILTER (outcome = 'duplicate' AND reason = ''), 0) AS known
    FROM reading_outcome
    GROUP BY load_id
)
SELECT told.load_id
FROM told
JOIN delivered USING (load_id)
LEFT JOIN brought ON brought.delivered_by = delivered.change_id
LEFT JOIN counting ON counting.delivered_by = delivered.change_id
LEFT JOIN known ON known.delivered_by = delivered.change_id
WHERE told.brought <> coalesce(brought.readings, 0) + coalesce(counting.readings, 0)
    OR told.known <> coalesce(known.readings, 0)
ORDER BY told.load_id
