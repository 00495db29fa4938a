-- What was done after one event and up to another, by sample point and analyte that it touched: results that began or
-- stopped to count, cells that were held, and choices between results.
WITH touched AS (
    SELECT in_force.from_event AS event_id, result.sample_point, result.analyte, cell.outcome = 'revision' AS revised
    FROM in_force
    JOIN result USING (result_id)
    LEFT JOIN cell_outcome AS cell
        ON cell.load_id = result.load_id AND cell.cell_id = result.cell_id AND cell.event_id = result.event_id
        AND result.event_id = in_force.from_event
    UNION ALL
    SELECT in_force.to_event, result.sample_point, result.analyte, false
    FROM in_force
    JOIN result USING (result_id)
    WHERE in_force.to_event IS NOT NULL
    UNION ALL
    SELECT cell.event_id, coalesce(text.sample_point, ''), coalesce(text.analyte, ''), false
    FROM cell_outcome AS cell
    JOIN held_text AS text USING (load_id, cell_id, event_id)
    WHERE cell.outcome = 'held'
    UNION ALL
    -- A held cell that stopped to be held, or whose load was withdrawn.
    SELECT later.event_id, coalesce(text.sample_point, ''), coalesce(text.analyte, ''), false
    FROM held_text AS text
    JOIN cell_outcome AS later
        ON later.load_id = text.load_id AND later.cell_id = text.cell_id AND later.event_id > text.event_id
    UNION ALL
    SELECT withdrawal.event_id, coalesce(text.sample_point, ''), coalesce(text.analyte, ''), false
    FROM held_text AS text
    JOIN withdrawal USING (load_id)
    UNION ALL
    SELECT decision.event_id, decision.sample_point, decision.analyte, false
    FROM decision
    WHERE decision.analyte <> ''
)
SELECT
    event.event_id,
    CASE
        WHEN event.kind = 'load' AND bool_or(touched.revised) THEN 'revision'
        WHEN event.kind = 'withdraw' THEN 'withdrawal'
        WHEN event.kind = 'decide' THEN 'decision'
        ELSE event.kind
    END AS kind,
    event.happened_at,
    event.who,
    event.detail,
    touched.sample_point,
    touched.analyte
FROM touched
JOIN event USING (event_id)
WHERE event.event_id > coalesce($after_event, 9223372036854775807)
    AND event.event_id <= coalesce($until_event, 9223372036854775807)
GROUP BY event.event_id, event.kind, event.happened_at, event.who, event.detail, touched.sample_point, touched.analyte
ORDER BY event.event_id
