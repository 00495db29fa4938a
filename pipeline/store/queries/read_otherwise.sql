-- Cells of a load whose own result is read with other words, numbers or findings than it was stored with.
CREATE OR REPLACE TEMP TABLE read_otherwise AS
WITH own AS (
    SELECT cell.cell_id, result.result_id, result.event_id
    FROM current_outcome AS cell
    JOIN result ON result.result_id = cell.result_id AND result.load_id = cell.load_id AND result.cell_id = cell.cell_id
    WHERE cell.load_id = $load_id
),
stored_finding AS (
    SELECT own.cell_id, found.rule_id, found.severity, found.excludes_from_compliance, found.message, found.remedy
    FROM finding AS found
    JOIN own ON own.cell_id = found.cell_id AND own.event_id = found.event_id
    WHERE found.load_id = $load_id AND found.rule_id NOT IN ('revision_without_order', 'decided_on_another_version')
),
read_finding AS (
    SELECT cell_id, rule_id, severity, excludes_from_compliance, message, remedy
    FROM arriving_finding
    WHERE cell_id IN (SELECT cell_id FROM own)
)
SELECT cell_id FROM (
    SELECT * FROM as_result WHERE cell_id IN (SELECT cell_id FROM own)
    EXCEPT
    SELECT result.* EXCLUDE (result_id, key_id, load_id, event_id)
    FROM result
    WHERE result_id IN (SELECT result_id FROM own)
)
UNION
SELECT cell_id FROM (FROM stored_finding EXCEPT FROM read_finding)
UNION
SELECT cell_id FROM (FROM read_finding EXCEPT FROM stored_finding)
