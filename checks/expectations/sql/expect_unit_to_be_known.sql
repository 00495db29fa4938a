-- Numbers whose unit is blank, not known, or can mean two things.
SELECT cell_id, sentence(coalesce(nullif(unit_problem, ''), 'There is no unit')) AS reason
FROM {batch}
WHERE needs_unit AND value_kind <> 'unreadable' AND (unit_problem <> '' OR unit IS NULL)
