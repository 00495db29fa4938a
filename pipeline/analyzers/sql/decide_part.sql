-- What each reading of a part is, beside what the store knows of its tag and time.
CREATE OR REPLACE TEMP TABLE decided_part AS
SELECT
    part.*,
    CASE
        WHEN same.tag_id IS NOT NULL THEN 'duplicate'
        WHEN counting.tag_id IS NOT NULL THEN 'revision'
        ELSE 'new'
    END AS outcome
FROM part
LEFT JOIN (SELECT DISTINCT tag_id, read_us, value, flag FROM known) AS same USING (tag_id, read_us, value, flag)
LEFT JOIN (SELECT DISTINCT tag_id, read_us FROM known WHERE in_force) AS counting USING (tag_id, read_us)
ORDER BY tag_id, read_us
