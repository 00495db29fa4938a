-- The newest line that a sheet still says of each bottle: by revision, day of issue and how much it fills, never by
-- the order of loading.
CREATE OR REPLACE TEMP TABLE newest_line AS
SELECT logged.key_hash, logged.logged_id
FROM logged_sample AS logged
SEMI JOIN touched_bottle USING (key_hash)
SEMI JOIN logged_assertion_as_of(NULL) AS said USING (logged_id)
QUALIFY row_number() OVER (
    PARTITION BY logged.key_hash
    ORDER BY coalesce(logged.revision, 0) DESC, logged.issued_on DESC NULLS LAST, logged.filled DESC, logged.logged_id
) = 1
