-- Cells of readings that are held by the last load of their file that was not taken back, by column, tag and reason.
SELECT
    outcome.load_id, last_load.file_name, outcome.column_name, outcome.tag, outcome.reason, outcome.remedy,
    outcome.cells, outcome.first_line, outcome.last_line, outcome.lines, outcome.example
FROM reading_outcome AS outcome
JOIN (
    SELECT load_id, file_name
    FROM load
    WHERE load_id NOT IN (SELECT load_id FROM withdrawal)
    QUALIFY row_number() OVER (PARTITION BY file_id ORDER BY load_id DESC) = 1
) AS last_load USING (load_id)
WHERE outcome.outcome = 'held' AND ($load_id IS NULL OR outcome.load_id = $load_id)
ORDER BY outcome.cells DESC, outcome.load_id, outcome.first_line
