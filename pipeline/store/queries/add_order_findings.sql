-- A version of a known result that neither a revision number, a report date nor a status tells to be newer or older.
INSERT INTO finding
SELECT
    $load_id,
    cell.cell_id,
    'revision_without_order',
    'hold',
    true,
    CASE
        WHEN decided.contradicted_by_its_own_file
            THEN 'The same file was loaded before, and this cell was read in another way then.'
        ELSE 'The result is in the store already with another content, and nothing says which of the two is newer.'
    END,
    CASE
        WHEN decided.contradicted_by_its_own_file
            THEN 'Layout or plant folder have changed since: read the first load again with barrierbook retry --all --load.'
        ELSE 'Ask the laboratory for a report with a revision number or a report date, and load that; or decide which '
            || 'version counts with barrierbook decide accept.'
    END,
    $event_id
FROM decided
JOIN settling_cell AS cell USING (cell_id)
WHERE decided.outcome = 'held' AND cell.state IN ('candidate', 'twin')
