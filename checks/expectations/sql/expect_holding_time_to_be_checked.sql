-- Holding times that could not be checked: a time is missing, or the method does not say which one applies.
WITH cell AS (FROM {batch}),
unchecked AS (
    SELECT cell_id, 'The time of ' || missing_step || ' is not given.' AS reason
    FROM cell
    JOIN staged_holding_time USING (cell_id)
    WHERE kept = 'cannot tell' AND missing_step <> '' AND NOT at_once
    UNION
    SELECT cell_id, note
    FROM cell
    JOIN cell_holding_case USING (cell_id)
    JOIN holding_note USING (case_id)
)
SELECT cell_id, string_agg(reason, ' ' ORDER BY reason) AS reason
FROM unchecked
GROUP BY cell_id
