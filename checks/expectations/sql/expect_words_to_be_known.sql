-- Words for sample type, purpose or status that are not known, and were read as the kind that counts for less.
SELECT cell_id, sentence(word_problem) AS reason
FROM {batch}
WHERE word_problem <> ''
