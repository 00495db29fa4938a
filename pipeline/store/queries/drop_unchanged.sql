-- A cell that was read again and points to the same result as before has nothing to be written down.
DELETE FROM decided
USING said_before AS before
WHERE before.load_id = $load_id
    AND before.cell_id = decided.cell_id
    AND decided.outcome = 'duplicate'
    AND before.outcome = 'duplicate'
    AND before.result_id = decided.result_id
