-- Holding times that could not be checked: a time is missing, or the method does not say which one applies.
WITH unchecked AS (
    SELECT cell_id, 'The time of ' || missing_step || ' is not given.' AS reason
    FROM staged_holding_time
    WHERE kept = 'cannot tell' AND missing_step <> '' AND NOT at_once
    UNION
    SELECT cell_id, note
    FROM cell_holding_case
    JOIN holding_note USING (case_id)
),
told AS (
    SELECT cell_id, string_agg(reason, ' ' ORDER BY reason) AS reason
    FROM unchecked
    GROUP BY cell_id
)
SELECT cell_id, reason
FROM told
JOIN (SELECT cell_id FROM {batch}) USING (cell_id)
