-- Results of which it has to be looked at again which version counts: those that settled, and those that a cell which
-- was read again said before.
INSERT INTO touched_key
SELECT key_id FROM decided WHERE outcome IN ('new', 'revision', 'duplicate')
UNION
SELECT result.key_id
FROM decided
JOIN said_before AS before ON before.load_id = $load_id AND before.cell_id = decided.cell_id
JOIN result ON result.result_id = before.result_id
