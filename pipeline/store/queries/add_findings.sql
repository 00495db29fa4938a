-- Findings of cells that are held or became results; a duplicate's findings stand at the result it points to already.
INSERT INTO finding
SELECT
    $load_id, cell_id, found.rule_id, found.severity, found.excludes_from_compliance, found.message, found.remedy, $event_id
FROM arriving_finding AS found
JOIN decided USING (cell_id)
WHERE decided.outcome IN ('held', 'new', 'revision')
