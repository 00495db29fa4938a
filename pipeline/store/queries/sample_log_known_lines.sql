-- Every version that a sheet still says of the bottles that an arriving sheet tells of.
SELECT logged.*
FROM logged_sample AS logged
SEMI JOIN logged_assertion_as_of(NULL) AS said USING (logged_id)
WHERE list_contains($keys, logged.key_hash)
ORDER BY logged.logged_id
