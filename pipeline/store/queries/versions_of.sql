-- Every version of a result that a load still says, newest first.
SELECT
    version.result_id, known.key_hash, version.content_hash,
    coalesce(version.revision, 0) AS revision, version.status, version.reported_on
FROM result AS version
JOIN result_key AS known USING (key_id)
WHERE version.key_id = (SELECT key_id FROM result WHERE result_id = $result_id)
    AND version.result_id IN (SELECT result_id FROM assertion)
QUALIFY row_number() OVER (PARTITION BY version.content_hash ORDER BY version.result_id DESC) = 1
ORDER BY
    coalesce(version.revision, 0) DESC, version.status <> 'preliminary' DESC, version.reported_on DESC NULLS LAST,
    version.status = 'rejected' DESC, version.result_id DESC
