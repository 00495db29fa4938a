-- What becomes of the readings of a load, part by part; these tables grow by a few rows a tag and day.
CREATE TEMP TABLE settled (
    tag_id INTEGER NOT NULL, outcome VARCHAR NOT NULL, cells BIGINT NOT NULL, first_line BIGINT NOT NULL,
    last_line BIGINT NOT NULL
);
CREATE TEMP TABLE found (
    tag_id INTEGER NOT NULL, rule_id VARCHAR NOT NULL, cells BIGINT NOT NULL, first_line BIGINT NOT NULL,
    last_line BIGINT NOT NULL
);
CREATE TEMP TABLE revised (tag_id INTEGER NOT NULL, read_us BIGINT NOT NULL);
CREATE TEMP TABLE known (
    tag_id INTEGER NOT NULL, read_us BIGINT NOT NULL, value DECIMAL(18,6) NOT NULL, flag UTINYINT NOT NULL,
    in_force BOOLEAN NOT NULL
);
CREATE TEMP TABLE tag_setting (
    tag_id INTEGER NOT NULL, column_name VARCHAR NOT NULL, tag VARCHAR NOT NULL, range_low DECIMAL(18,6),
    range_high DECIMAL(18,6), expected_interval_s INTEGER NOT NULL
);
