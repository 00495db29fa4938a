-- Hours from one step to another, from times where both are known, else whole days between the dates.
CREATE OR REPLACE MACRO hours_after(first_at, first_on, second_at, second_on) AS
    CASE
        WHEN first_at IS NOT NULL AND second_at IS NOT NULL THEN (epoch(second_at) - epoch(first_at)) / 3600
        ELSE 24 * date_diff('day', first_on, second_on)
    END
