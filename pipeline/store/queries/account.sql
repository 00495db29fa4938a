-- What became of the cells of a load, by the latest word on each.
SELECT
    count(*) AS cells,
    count(*) FILTER (outcome = 'empty') AS empty,
    count(*) FILTER (outcome = 'set aside') AS set_aside,
    count(*) FILTER (outcome = 'held') AS held,
    count(*) FILTER (outcome = 'duplicate') AS duplicate,
    count(*) FILTER (outcome = 'new') AS new,
    count(*) FILTER (outcome = 'revision') AS revision,
    count(*) FILTER (outcome IN ('new', 'revision') AND flagged.cell_id IS NOT NULL) AS flagged
FROM current_outcome AS cell
LEFT JOIN (
    SELECT DISTINCT load_id, cell_id, event_id FROM finding WHERE severity = 'flag'
) AS flagged USING (load_id, cell_id, event_id)
WHERE cell.load_id = $load_id
