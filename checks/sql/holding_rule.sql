-- The holding times chosen for each combination, ready to be counted: as microseconds, as days or months of the calendar,
-- or as microseconds where both times are known and as days where they are not.
CREATE OR REPLACE TABLE holding_rule (
    case_id            BIGINT NOT NULL,
    holding_time_id    VARCHAR NOT NULL,
    start_step         VARCHAR NOT NULL,
    stop_step          VARCHAR NOT NULL,
    max_text           VARCHAR NOT NULL,
    max_microseconds   BIGINT,
    max_days           INTEGER,
    max_months         INTEGER,
    at_once            BOOLEAN NOT NULL,  -- to be measured in the field, within minutes of collection
    receipt_max_c      DECIMAL(38, 15),   -- null where the method sets none
    receipt_inclusive  BOOLEAN,
    receipt_early_max_c DECIMAL(38, 15),  -- allowed within so many hours of collection
    receipt_early_hours INTEGER,
    may_freeze         BOOLEAN
)
