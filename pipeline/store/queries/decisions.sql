-- Decisions, newest first, and how each stands: whether it reaches the version that the loads say now.
WITH said AS (
    SELECT known.key_hash, result.content_hash, result.result_id
    FROM outcome_as_of($as_of_event) AS cell
    JOIN result USING (result_id)
    JOIN result_key AS known USING (key_id)
    WHERE cell.load_id NOT IN (SELECT load_id FROM withdrawn_as_of($as_of_event))
        AND known.key_hash IN (SELECT key_hash FROM decision)
),
newest AS (
    SELECT key_hash, content_hash
    FROM said
    JOIN result USING (result_id, content_hash)
    QUALIFY row_number() OVER (
        PARTITION BY key_hash
        ORDER BY
            coalesce(revision, 0) DESC, status <> 'preliminary' DESC, reported_on DESC NULLS LAST,
            status = 'rejected' DESC, result_id DESC
    ) = 1
)
SELECT
    decision.event_id, event.happened_at, event.who, decision.scope, decision.action, decision.sample_point,
    decision.sample, decision.analyte, decision.fraction, decision.reason, decision.agency_reference,
    CASE
        WHEN decision.event_id < max(decision.event_id) OVER (
            PARTITION BY
                decision.scope = 'sample', decision.key_hash, decision.content_hash, decision.file_sha256, decision.line,
                decision.column_name
        ) THEN 'replaced by a later decision'
        WHEN decision.key_hash = '' THEN 'in effect'
        WHEN newest.key_hash IS NULL THEN 'no load says it any more'
        WHEN decision.action <> 'reject' AND newest.content_hash <> decision.content_hash
            THEN 'decided on an earlier version'
        WHEN decision.action = 'reject' AND newest.content_hash <> decision.content_hash
            AND NOT EXISTS (
                FROM version_decision_as_of($as_of_event) AS other
                WHERE other.key_hash = newest.key_hash AND other.content_hash = newest.content_hash
            ) THEN 'decided on an earlier version'
        ELSE 'in effect'
    END AS standing
FROM decision
JOIN event USING (event_id)
LEFT JOIN newest USING (key_hash)
WHERE decision.event_id <= coalesce($as_of_event, 9223372036854775807)
ORDER BY decision.event_id DESC, decision.action, decision.content_hash
