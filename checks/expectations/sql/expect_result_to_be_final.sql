-- Results the sender calls preliminary.
SELECT cell_id
FROM {batch}
WHERE status = 'preliminary'
