-- An elapsed time in words, from microseconds: in hours up to five days, so that it compares with limits in hours.
-- Minutes are cut, not rounded.
CREATE OR REPLACE MACRO elapsed(microseconds) AS
    CASE
        WHEN microseconds < 60000000 THEN '0 min'
        ELSE concat_ws(
            ' ',
            CASE WHEN microseconds >= 432000000000 THEN (microseconds // 86400000000)::VARCHAR || ' d' END,
            CASE
                WHEN microseconds >= 432000000000
                    THEN nullif((microseconds % 86400000000 // 3600000000)::VARCHAR || ' h', '0 h')
                ELSE nullif((microseconds // 3600000000)::VARCHAR || ' h', '0 h')
            END,
            nullif((microseconds % 3600000000 // 60000000)::VARCHAR || ' min', '0 min')
        )
    END
