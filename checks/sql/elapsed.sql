-- An elapsed time in words, from microseconds: minutes are cut, not rounded, so that nothing late reads as in time.
CREATE OR REPLACE MACRO elapsed(microseconds) AS
    CASE
        WHEN microseconds >= 259200000000
            THEN (microseconds // 86400000000)::VARCHAR || ' d ' || (microseconds % 86400000000 // 3600000000)::VARCHAR || ' h'
        ELSE (microseconds // 3600000000)::VARCHAR || ' h'
    END
    || CASE
        WHEN microseconds % 3600000000 // 60000000 > 0
            THEN ' ' || (microseconds % 3600000000 // 60000000)::VARCHAR || ' min'
        ELSE ''
    END
