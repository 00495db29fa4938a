-- The finding of cells that claim to be one result and say different things.
INSERT INTO staged_finding
SELECT
    cell.cell_id,
    'equal_keys_in_file',
    'hold',
    true,
    'Lines ' || list_aggregate(list_sort(lines.lines)[:6], 'string_agg', ', ') || ' report the same analyte of the same '
    || 'sample by the same method with different contents.',
    'Ask the laboratory which line counts, or for replicate or dilution marks; then load its correction.'
FROM keyed_cell AS cell
JOIN (
    SELECT keyed.key_hash, list(staged.line) AS lines
    FROM keyed_cell AS keyed
    JOIN staged_cell AS staged USING (cell_id)
    GROUP BY keyed.key_hash
    HAVING count(DISTINCT keyed.content_hash) > 1
) AS lines USING (key_hash)
