-- What is weak about the readings that are kept; the first reason counts.
INSERT INTO found
SELECT tag_id, rule_id, count(*), min(line), max(line)
FROM (
    SELECT
        tag_id, line,
        CASE
            WHEN read_us > $loaded_us THEN 'reading_in_the_future'
            WHEN doubtful THEN 'reading_told_by_order'
            WHEN flag = 3 THEN 'reading_suspect'
            WHEN flag = 4 THEN 'reading_failed'
        END AS rule_id
    FROM decided
    WHERE outcome <> 'duplicate' AND (flag > 2 OR doubtful OR read_us > $loaded_us)
)
GROUP BY tag_id, rule_id
