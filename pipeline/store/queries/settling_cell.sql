-- What each arriving cell comes to by its file and by what persons decided about it before: a cell whose reading is the
-- one that was decided on is no longer held, and one that was rejected unread is set aside.
CREATE OR REPLACE TEMP TABLE settling_cell AS
WITH decided_on AS (
    SELECT
        cell.cell_id,
        said.key_hash <> '' AS is_read,
        'rejected by ' || said.who || ' on ' || strftime(said.happened_at, '%Y-%m-%d') || ': ' || said.reason AS words
    FROM arriving_cell AS cell
    JOIN cell_decision_as_of(NULL) AS said ON said.line = cell.line AND said.column_name = cell.column_name
    WHERE said.file_sha256 = (SELECT file.sha256 FROM load JOIN file USING (file_id) WHERE load_id = $load_id)
        AND cell.state = 'held'
        AND (
            (said.key_hash = cell.key_hash AND said.content_hash = cell.content_hash)
            OR (said.key_hash = '' AND said.action = 'reject' AND cell.key_hash IS NULL)
        )
),
released AS (
    SELECT
        cell.cell_id, cell.key_hash, cell.content_hash,
        CASE WHEN said.is_read THEN 'candidate' WHEN NOT said.is_read THEN 'set aside' ELSE cell.state END AS state,
        CASE WHEN said.is_read THEN cell.cell_id ELSE cell.first_cell_id END AS first_cell_id,
        CASE WHEN NOT said.is_read THEN said.words ELSE cell.set_aside END AS set_aside
    FROM arriving_cell AS cell
    LEFT JOIN decided_on AS said USING (cell_id)
),
-- Two cells that were decided on alike are one result and a duplicate.
first_alike AS (
    SELECT key_hash, content_hash, min(cell_id) AS cell_id
    FROM released
    WHERE state = 'candidate'
    GROUP BY key_hash, content_hash
    HAVING count(*) > 1
)
SELECT
    cell.* REPLACE (
        CASE WHEN cell.state = 'candidate' AND first_alike.cell_id < cell.cell_id THEN 'twin' ELSE cell.state END AS state,
        CASE
            WHEN cell.state = 'candidate' AND first_alike.cell_id < cell.cell_id THEN first_alike.cell_id
            ELSE cell.first_cell_id
        END AS first_cell_id
    )
FROM released AS cell
LEFT JOIN first_alike USING (key_hash, content_hash)
