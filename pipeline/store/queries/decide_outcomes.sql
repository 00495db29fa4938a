-- What the store makes of each arriving cell. A known key with equal content is a duplicate; with other content a
-- revision, unless nothing says which of the two is newer: then it is held.
CREATE OR REPLACE TEMP TABLE decided AS
WITH candidate AS (
    SELECT
        cell.cell_id,
        any_value(known.key_id) AS key_id,
        min(version.result_id) FILTER (version.content_hash = cell.content_hash) AS same_result_id,
        coalesce(bool_or(
            coalesce(version.revision, 0) = coalesce(cell.revision, 0)
            AND version.reported_on IS NOT DISTINCT FROM cell.reported_on
            AND version.status = cell.status
        ), false) AS tied
    FROM arriving_cell AS cell
    LEFT JOIN result_key AS known USING (key_hash)
    LEFT JOIN result AS version ON version.key_id = known.key_id
    WHERE cell.state = 'candidate'
    GROUP BY cell.cell_id
),
first_cell AS (
    SELECT
        cell_id,
        key_id,
        same_result_id,
        CASE
            WHEN key_id IS NULL THEN 'new'
            WHEN same_result_id IS NOT NULL THEN 'duplicate'
            WHEN tied THEN 'held'
            ELSE 'revision'
        END AS outcome
    FROM candidate
),
-- Numbered under the write lock: nobody else adds results meanwhile.
numbered AS (
    SELECT
        *,
        CASE
            WHEN outcome IN ('new', 'revision')
                THEN (SELECT coalesce(max(result_id), 0) FROM result)
                    + row_number() OVER (PARTITION BY outcome IN ('new', 'revision') ORDER BY cell_id)
            ELSE same_result_id
        END AS result_id,
        CASE
            WHEN outcome = 'new'
                THEN (SELECT coalesce(max(key_id), 0) FROM result_key)
                    + row_number() OVER (PARTITION BY outcome = 'new' ORDER BY cell_id)
            ELSE key_id
        END AS settled_key_id
    FROM first_cell
)
SELECT
    cell.cell_id,
    CASE
        WHEN cell.state = 'candidate' THEN own.outcome
        WHEN cell.state = 'twin' AND of_first.outcome = 'held' THEN 'held'
        WHEN cell.state = 'twin' THEN 'duplicate'
        ELSE cell.state
    END AS outcome,
    CASE WHEN cell.state = 'twin' THEN of_first.result_id ELSE own.result_id END AS result_id,
    own.settled_key_id AS key_id
FROM arriving_cell AS cell
LEFT JOIN numbered AS own ON own.cell_id = cell.cell_id
LEFT JOIN numbered AS of_first ON of_first.cell_id = cell.first_cell_id
