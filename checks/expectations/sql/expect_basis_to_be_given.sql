-- Numbers whose basis (as N, as NO3 ...) is missing or contradicts itself.
SELECT cell_id, sentence(basis_problem) AS reason
FROM {batch}
WHERE basis_problem <> '' AND needs_unit
