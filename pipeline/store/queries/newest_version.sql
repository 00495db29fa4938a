-- The newest version of every touched result, of those that a load still says and no person rejected: by revision
-- number, status and report date, never by the order of loading. Versions that these do not order do not contradict
-- each other, and the one that was stored later says more.
CREATE OR REPLACE TEMP TABLE newest_version AS
SELECT version.key_id, version.result_id, version.status
FROM result AS version
JOIN result_key AS known USING (key_id)
LEFT JOIN version_decision_as_of(NULL) AS said
    ON said.key_hash = known.key_hash AND said.content_hash = version.content_hash AND said.action = 'reject'
WHERE version.key_id IN (SELECT key_id FROM touched_key)
    AND said.key_hash IS NULL
    AND version.result_id IN (SELECT result_id FROM assertion)
QUALIFY row_number() OVER (
    PARTITION BY version.key_id
    ORDER BY
        coalesce(version.revision, 0) DESC,
        version.status <> 'preliminary' DESC,
        version.reported_on DESC NULLS LAST,
        version.status = 'rejected' DESC,
        version.result_id DESC
) = 1
