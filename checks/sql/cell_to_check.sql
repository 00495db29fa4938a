-- The cells that are checked, put together once for all rules: neither empty nor set aside. What a laboratory makes
-- itself (a blank, a control sample) has no sample point, no collection time and no holding time; a word instead of a
-- number needs no unit; a field reading was taken on the spot.
CREATE OR REPLACE TABLE cell_to_check AS
SELECT
    *,
    word_problem = '' AND sample_type IN (
        'quality control, method blank',
        'quality control, laboratory control sample',
        'quality control, other'
    ) AS made_in_laboratory,
    value_kind NOT IN ('present', 'absent', 'too numerous to count', 'not analyzed') AS needs_unit,
    collected_on IS NOT NULL
        AND value_kind NOT IN ('not analyzed', 'unreadable')
        AND sample_type <> 'field measurement'
        AND NOT made_in_laboratory AS can_be_late
FROM staged_cell
WHERE set_aside = '' AND value_kind <> 'empty'
