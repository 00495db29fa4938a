-- Which pass of a doubled hour each reading belongs to: a step back in the order of lines begins the second one.
CREATE OR REPLACE TEMP TABLE told AS
WITH stepped AS (
    SELECT
        *,
        wall_us <= lag(wall_us) OVER (PARTITION BY tag_id, span_us ORDER BY line) AS steps_back
    FROM told_by_order
)
SELECT
    tag_id, wall_us, value, flag, line, column_name, tag_text, ahead, ahead_again,
    count(*) FILTER (steps_back) OVER (PARTITION BY tag_id, span_us ORDER BY line) AS pass,
    count(*) FILTER (steps_back) OVER (PARTITION BY tag_id, span_us) AS steps
FROM stepped
