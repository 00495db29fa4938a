-- Every load with what became of its lines and cells, newest first.
WITH counted AS (
    SELECT
        load_id,
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
    GROUP BY load_id
)
SELECT
    load.load_id, event.happened_at AS loaded_at, event.who, load.file_name, load.layout, load.encoding,
    load.lines_title, load.lines_header, load.lines_blank, load.lines_data,
    coalesce(counted.cells, 0) AS cells, coalesce(counted.empty, 0) AS empty,
    coalesce(counted.set_aside, 0) AS set_aside, coalesce(counted.held, 0) AS held,
    coalesce(counted.duplicate, 0) AS duplicate, coalesce(counted.new, 0) AS new,
    coalesce(counted.revision, 0) AS revision, coalesce(counted.flagged, 0) AS flagged,
    file.sha256
FROM load
JOIN event USING (event_id)
JOIN file USING (file_id)
LEFT JOIN counted USING (load_id)
ORDER BY load.load_id DESC
