-- What became of the cells of a load.
SELECT cells, empty, set_aside, held, duplicate, new, revision, flagged
FROM load_account
WHERE load_id = $load_id
