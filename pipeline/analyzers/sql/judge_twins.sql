-- Several readings of one tag and time in one file: those with the best flag count, if they agree; the order of the
-- lines decides nothing, except which of two equal ones is kept.
CREATE OR REPLACE TEMP TABLE twin AS
WITH several AS (
    SELECT tag_id, read_us, min(flag) AS best
    FROM part
    GROUP BY ALL
    HAVING count(*) > 1
),
best_of AS (
    SELECT
        tag_id, read_us, several.best, count(DISTINCT part.value) AS best_values,
        any_value(part.value) AS best_value, min(part.line) AS kept_line
    FROM several
    JOIN part USING (tag_id, read_us)
    WHERE part.flag = several.best
    GROUP BY ALL
)
SELECT
    part.tag_id, part.read_us, part.value, part.line,
    CASE
        WHEN part.flag = best_of.best AND best_of.best_values > 1 THEN 'twins'
        WHEN part.flag = best_of.best AND part.line = best_of.kept_line THEN 'kept'
        WHEN best_of.best_values = 1 AND part.value = best_of.best_value THEN 'repeated'
        ELSE 'worse'
    END AS fate
FROM part
JOIN best_of USING (tag_id, read_us)
