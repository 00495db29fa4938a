-- Cells whose value is neither a number nor a word that means something.
SELECT cell_id, sentence(coalesce(nullif(value_problem, ''), '"' || value_text || '" is not a value')) AS reason
FROM {batch}
WHERE value_kind = 'unreadable' OR value_problem <> ''
