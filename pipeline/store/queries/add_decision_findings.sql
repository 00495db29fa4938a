-- A version that now counts, where a person decided on another version of the result: the decision does not reach it.
INSERT INTO finding
SELECT
    $load_id,
    cell.cell_id,
    'decided_on_another_version',
    'flag',
    false,
    'This result was decided on in another version, by ' || last.who || ' on '
    || strftime(last.happened_at, '%Y-%m-%d') || ' (' || last.action || ': ' || last.reason
    || '); the decision does not apply to this version.',
    'Look at both versions, and decide again with barrierbook decide where it is still needed.',
    $event_id
FROM decided
JOIN settling_cell AS cell USING (cell_id)
JOIN newest_version AS newest ON newest.result_id = decided.result_id
JOIN (
    SELECT decision.key_hash, arg_max(struct_pack(who, happened_at, action, reason), decision.event_id) AS last
    FROM decision
    JOIN event USING (event_id)
    WHERE decision.key_hash <> ''
    GROUP BY decision.key_hash
) AS decided_before USING (key_hash)
WHERE decided.outcome IN ('new', 'revision')
    AND NOT EXISTS (
        FROM decision AS said WHERE said.key_hash = cell.key_hash AND said.content_hash = cell.content_hash
    )
