-- Every reading of the days that a part touches, as they count once it is stored.
CREATE OR REPLACE TEMP TABLE touched AS
WITH counting AS (
    SELECT tag_id, read_us, value, flag FROM decided WHERE outcome <> 'duplicate'
    UNION ALL
    SELECT known.tag_id, known.read_us, known.value, known.flag
    FROM known
    ANTI JOIN (FROM decided WHERE outcome = 'revision') AS replaced USING (tag_id, read_us)
    WHERE known.in_force
)
SELECT * FROM counting ORDER BY tag_id, read_us
