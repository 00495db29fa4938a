-- Steps dated further before collection than a slip of the clock or the date line explains.
SELECT
    cell_id,
    concat_ws(
        ', ',
        CASE WHEN hours_after(collected_at, collected_on, received_at, received_on) < -{tolerated_hours} THEN 'received ' || received_text END,
        CASE WHEN hours_after(collected_at, collected_on, filtered_at, filtered_on) < -{tolerated_hours} THEN 'filtered ' || filtered_text END,
        CASE WHEN hours_after(collected_at, collected_on, extracted_at, extracted_on) < -{tolerated_hours} THEN 'extracted ' || extracted_text END,
        CASE WHEN hours_after(collected_at, collected_on, analyzed_at, analyzed_on) < -{tolerated_hours} THEN 'analyzed ' || analyzed_text END
    ) AS early_steps
FROM {batch}
WHERE least(
    hours_after(collected_at, collected_on, received_at, received_on),
    hours_after(collected_at, collected_on, filtered_at, filtered_on),
    hours_after(collected_at, collected_on, extracted_at, extracted_on),
    hours_after(collected_at, collected_on, analyzed_at, analyzed_on)
) < -{tolerated_hours}
