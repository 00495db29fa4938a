-- A version of a known result that neither a revision number, a report date nor a status tells to be newer or older.
INSERT INTO finding
SELECT
    $load_id,
    cell.cell_id,
    'revision_without_order',
    'hold',
    true,
    'The result is in the store already with another content, and nothing says which of the two is newer.',
    'Ask the laboratory for a report with a revision number or a report date, and load that.',
    $event_id
FROM decided
JOIN arriving_cell AS cell USING (cell_id)
WHERE decided.outcome = 'held' AND cell.state IN ('candidate', 'twin')
