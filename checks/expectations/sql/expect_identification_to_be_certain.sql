-- Results whose qualifier says that the substance is only tentatively identified.
SELECT cell_id
FROM {batch}
WHERE has_qualifier(qualifier_text, ['NJ'])
