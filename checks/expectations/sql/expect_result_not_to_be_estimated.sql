-- Results whose qualifier or detection condition says that the number is an estimate.
SELECT cell_id, CASE WHEN qualifier_text <> '' THEN 'qualifier ' || qualifier_text ELSE condition_text END AS said_by
FROM {batch}
WHERE estimated OR has_qualifier(qualifier_text, ['J', 'J+', 'J-', 'UJ', 'EST', 'ESTIMATED', 'DNQ'])
