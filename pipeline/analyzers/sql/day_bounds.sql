-- The days of the plant that a part can touch, from midnight to midnight of the wall clock [microseconds, UTC].
CREATE OR REPLACE TEMP TABLE day_bounds (day DATE NOT NULL, start_us BIGINT NOT NULL, end_us BIGINT NOT NULL)
