-- What the store makes of each arriving cell. A known result with equal content, or with less of it, is a duplicate; with
-- other content a revision, unless nothing says which of the two is newer: then it is held until a person decides.
CREATE OR REPLACE TEMP TABLE decided AS
WITH compared AS (
    SELECT
        cell_id,
        max(result_id) FILTER (same) AS same_result_id,
        max(result_id) FILTER (says_no_more) AS fuller_result_id,
        bool_or(tied AND NOT only_says_more) AS contradicted,
        bool_or(tied AND NOT only_says_more AND of_the_same_file) AS contradicted_by_its_own_file
    FROM known_version
    GROUP BY cell_id
),
candidate AS (
    SELECT
        cell.cell_id,
        known.key_id,
        coalesce(compared.same_result_id, compared.fuller_result_id) AS same_result_id,
        compared.contradicted_by_its_own_file,
        CASE
            WHEN before.reading_changed THEN 'revision'
            WHEN compared.cell_id IS NULL AND before.key_hash = cell.key_hash THEN 'revision'
            WHEN compared.cell_id IS NULL AND cell.cell_id = min(cell.cell_id) OVER same_key THEN 'new'
            WHEN compared.cell_id IS NULL THEN 'revision'
            WHEN coalesce(compared.same_result_id, compared.fuller_result_id) IS NOT NULL THEN 'duplicate'
            WHEN compared.contradicted AND said.key_hash IS NULL THEN 'held'
            ELSE 'revision'
        END AS outcome,
        min(cell.cell_id) OVER same_key AS first_of_key
    FROM settling_cell AS cell
    LEFT JOIN result_key AS known USING (key_hash)
    LEFT JOIN compared USING (cell_id)
    LEFT JOIN said_before AS before ON before.load_id = $load_id AND before.cell_id = cell.cell_id
    LEFT JOIN version_decision_as_of(NULL) AS said
        ON said.key_hash = cell.key_hash AND said.content_hash = cell.content_hash
    WHERE cell.state = 'candidate'
    WINDOW same_key AS (PARTITION BY cell.key_hash)
),
-- Numbered under the write lock: nobody else adds results meanwhile.
numbered AS (
    SELECT
        cell_id,
        outcome,
        contradicted_by_its_own_file,
        key_id IS NULL AND cell_id = first_of_key AS is_new_key,
        CASE
            WHEN outcome IN ('new', 'revision')
                THEN (SELECT coalesce(max(result_id), 0) FROM result)
                    + row_number() OVER (PARTITION BY outcome IN ('new', 'revision') ORDER BY cell_id)
            ELSE same_result_id
        END AS result_id,
        coalesce(
            key_id,
            (SELECT coalesce(max(key_id), 0) FROM result_key)
                + dense_rank() OVER (PARTITION BY key_id IS NULL ORDER BY first_of_key)
        ) AS key_id
    FROM candidate
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
    coalesce(own.key_id, of_first.key_id) AS key_id,
    coalesce(own.is_new_key, false) AS is_new_key,
    coalesce(own.contradicted_by_its_own_file, of_first.contradicted_by_its_own_file, false)
        AS contradicted_by_its_own_file
FROM settling_cell AS cell
LEFT JOIN numbered AS own ON own.cell_id = cell.cell_id
LEFT JOIN numbered AS of_first ON of_first.cell_id = cell.first_cell_id
