-- The newest version of every result that this load touched: by revision number, report date and status, never by the
-- order of loading.
CREATE OR REPLACE TEMP TABLE newest_version AS
SELECT key_id, result_id, status
FROM result
WHERE key_id IN (SELECT key_id FROM decided WHERE outcome IN ('new', 'revision'))
QUALIFY row_number() OVER (
    PARTITION BY key_id
    ORDER BY
        coalesce(revision, 0) DESC,
        reported_on DESC NULLS LAST,
        CASE status WHEN 'preliminary' THEN 0 WHEN 'final' THEN 1 ELSE 2 END DESC
) = 1
