-- Times that were all read, with a doubt: a local time inside a clock change, most of all.
SELECT cell_id, sentence(concat_ws(' ', nullif(collected_problem, ''), nullif(time_problem, ''))) AS reason
FROM {batch}
WHERE (collected_problem <> '' OR time_problem <> '')
  AND collected_on IS NOT NULL
  AND (received_text = '' OR received_on IS NOT NULL)
  AND (filtered_text = '' OR filtered_on IS NOT NULL)
  AND (extracted_text = '' OR extracted_on IS NOT NULL)
  AND (analyzed_text = '' OR analyzed_on IS NOT NULL)
  AND (reported_text = '' OR reported_on IS NOT NULL)
