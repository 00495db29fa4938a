-- All that is known of a step that is not reported: it lies between two that are.
CREATE OR REPLACE MACRO moment_between(first_moment, last_moment) AS
    CASE
        WHEN first_moment IS NOT NULL AND last_moment IS NOT NULL THEN {
            'earliest': first_moment.earliest, 'latest': last_moment.latest,
            'first_day': first_moment.first_day, 'last_day': last_moment.last_day,
            'exact': first_moment.exact AND last_moment.exact
        }
    END
