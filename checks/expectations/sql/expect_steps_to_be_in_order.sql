-- Steps a little before the one they need: before collection by no more than is held back, or analyzed before extracted.
WITH cell AS (FROM {batch}),
timed AS (
    SELECT
        cell_id,
        collected_text, received_text, filtered_text, extracted_text, analyzed_text,
        hours_after(collected_at, collected_on, received_at, received_on) AS received_after,
        hours_after(collected_at, collected_on, filtered_at, filtered_on) AS filtered_after,
        hours_after(collected_at, collected_on, extracted_at, extracted_on) AS extracted_after,
        hours_after(collected_at, collected_on, analyzed_at, analyzed_on) AS analyzed_after,
        hours_after(extracted_at, extracted_on, analyzed_at, analyzed_on) AS analyzed_after_extraction
    FROM cell
)
SELECT
    cell_id,
    concat_ws(
        ', ',
        CASE WHEN received_after < 0 THEN 'received ' || received_text || ' before collected ' || collected_text END,
        CASE WHEN filtered_after < 0 THEN 'filtered ' || filtered_text || ' before collected ' || collected_text END,
        CASE WHEN extracted_after < 0 THEN 'extracted ' || extracted_text || ' before collected ' || collected_text END,
        CASE WHEN analyzed_after < 0 THEN 'analyzed ' || analyzed_text || ' before collected ' || collected_text END,
        CASE WHEN analyzed_after_extraction < 0 THEN 'analyzed ' || analyzed_text || ' before extracted ' || extracted_text END
    ) AS disorder
FROM timed
WHERE least(received_after, filtered_after, extracted_after, analyzed_after, analyzed_after_extraction) < 0
  AND coalesce(least(received_after, filtered_after, extracted_after, analyzed_after) >= -{tolerated_hours}, true)
