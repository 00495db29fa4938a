-- Microseconds from one instant to another: none where the order is the other way round, null where one is not known.
CREATE OR REPLACE MACRO time_between(first_instant, second_instant) AS
    CASE
        WHEN second_instant > first_instant THEN second_instant - first_instant
        WHEN second_instant <= first_instant THEN 0
    END
