-- When a step was taken, as far as it is known: between two instants (microseconds), which lie on two days of the plant.
CREATE OR REPLACE MACRO moment(instant, day, first_minute, last_minute) AS
    CASE
        WHEN day IS NULL THEN NULL
        WHEN instant IS NULL THEN {
            'earliest': first_minute, 'latest': last_minute, 'first_day': day, 'last_day': day, 'exact': false
        }
        ELSE {
            'earliest': epoch_us(instant), 'latest': epoch_us(instant), 'first_day': day, 'last_day': day, 'exact': true
        }
    END
