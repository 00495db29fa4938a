-- Times later than the moment of loading; a date counts from its start in the plant's zone.
SELECT
    cell_id,
    concat_ws(
        ', ',
        CASE WHEN collected_at > loaded_at OR collected_on > loaded_on THEN 'collected ' || collected_text END,
        CASE WHEN received_at > loaded_at OR received_on > loaded_on THEN 'received ' || received_text END,
        CASE WHEN filtered_at > loaded_at OR filtered_on > loaded_on THEN 'filtered ' || filtered_text END,
        CASE WHEN extracted_at > loaded_at OR extracted_on > loaded_on THEN 'extracted ' || extracted_text END,
        CASE WHEN analyzed_at > loaded_at OR analyzed_on > loaded_on THEN 'analyzed ' || analyzed_text END
    ) AS future_steps
FROM {batch}
CROSS JOIN staged_moment
WHERE greatest(collected_at, received_at, filtered_at, extracted_at, analyzed_at) > loaded_at
   OR greatest(collected_on, received_on, filtered_on, extracted_on, analyzed_on) > loaded_on
