-- Days worked out anew, until they take the place of those in the store.
CREATE OR REPLACE TEMP TABLE reckoned_day (
    tag_id INTEGER NOT NULL, day DATE NOT NULL, readings INTEGER NOT NULL, usable INTEGER NOT NULL,
    flagged INTEGER NOT NULL, outside INTEGER NOT NULL, lowest DECIMAL(18,6), highest DECIMAL(18,6),
    total DECIMAL(38,6), first_value DECIMAL(18,6), last_value DECIMAL(18,6), first_us BIGINT NOT NULL,
    last_us BIGINT NOT NULL, inner_gaps INTEGER NOT NULL, inner_gap_s BIGINT NOT NULL, outside_s BIGINT NOT NULL
);
