-- Readings of online analyzers. A reading that counts stands in reading; one that no longer does stands in reading_past,
-- with what it was replaced or taken back by. A change of either is one row of reading_change, written in the
-- transaction that completes it: a reading of a change that is still pending is nobody's business yet.

-- A tag of the historian, and how its days were reckoned last; other words of the plant folder have them made anew.
CREATE TABLE analyzer_tag (
    tag_id              INTEGER NOT NULL,
    tag                 VARCHAR NOT NULL,
    time_zone           VARCHAR NOT NULL,    -- whose days they are
    range_low           DECIMAL(18,6),       -- null: the range has no lower end
    range_high          DECIMAL(18,6),
    expected_interval_s INTEGER NOT NULL
);

-- A completed change of which readings count: a load, or its withdrawal.
CREATE TABLE reading_change (
    change_id INTEGER NOT NULL,
    event_id  BIGINT NOT NULL,
    load_id   BIGINT NOT NULL                -- the load that was delivered, or taken back
);

-- A change that was begun and is not completed; what a dead program left behind is swept by the next one.
CREATE TABLE reading_pending (
    change_id INTEGER NOT NULL,
    begun_at  TIMESTAMPTZ NOT NULL
);

CREATE TABLE reading (
    tag_id       INTEGER NOT NULL,
    read_at      TIMESTAMPTZ NOT NULL,
    value        DECIMAL(18,6) NOT NULL,     -- [unit of the tag in analyzers.csv]
    flag         UTINYINT NOT NULL,          -- QARTOD: 1 good, 2 not evaluated, 3 suspect, 4 fail
    line         BIGINT NOT NULL,            -- in its file
    delivered_by INTEGER NOT NULL,           -- reading_change
    counts_from  INTEGER NOT NULL            -- reading_change
);

CREATE TABLE reading_past (
    tag_id       INTEGER NOT NULL,
    read_at      TIMESTAMPTZ NOT NULL,
    value        DECIMAL(18,6) NOT NULL,
    flag         UTINYINT NOT NULL,
    line         BIGINT NOT NULL,
    delivered_by INTEGER NOT NULL,
    counts_from  INTEGER NOT NULL,
    counts_to    INTEGER NOT NULL            -- reading_change that ended it
);

-- A reading that a load delivered and that was known by then, with the same value and flag: when the load that brought
-- it first is taken back, this one still asserts it.
CREATE TABLE reading_again (
    tag_id       INTEGER NOT NULL,
    read_at      TIMESTAMPTZ NOT NULL,
    value        DECIMAL(18,6) NOT NULL,
    flag         UTINYINT NOT NULL,
    line         BIGINT NOT NULL,
    delivered_by INTEGER NOT NULL
);

-- What became of the cells of a load, those of one fate and one reason together; each cell stands in exactly one row.
CREATE TABLE reading_outcome (
    load_id     BIGINT NOT NULL,
    column_name VARCHAR NOT NULL,            -- where the values stand in the file
    tag         VARCHAR NOT NULL,            -- as the plant knows it, else as written; '' where the whole line is meant
    outcome     VARCHAR NOT NULL,            -- pipeline.vocabulary.CellOutcome
    reason      VARCHAR NOT NULL,            -- why it was held or set aside; '' otherwise
    remedy      VARCHAR NOT NULL,
    cells       BIGINT NOT NULL,
    first_line  BIGINT NOT NULL,
    last_line   BIGINT NOT NULL,
    lines       BIGINT[] NOT NULL,           -- of every cell that is held, or set aside for its status; else empty
    example     VARCHAR NOT NULL             -- the text of the first of them
);

-- What is weak about readings that were kept, by reason; the readings themselves are as delivered.
CREATE TABLE reading_finding (
    load_id    BIGINT NOT NULL,
    tag        VARCHAR NOT NULL,
    rule_id    VARCHAR NOT NULL,
    severity   VARCHAR NOT NULL,             -- pipeline.vocabulary.Severity
    message    VARCHAR NOT NULL,
    remedy     VARCHAR NOT NULL,
    cells      BIGINT NOT NULL,
    first_line BIGINT NOT NULL,
    last_line  BIGINT NOT NULL
);

-- One day of one tag, in the plant's zone. Extremes, total, first and last are of usable readings: flags 1 to 3.
CREATE TABLE reading_day (
    tag_id           INTEGER NOT NULL,
    day              DATE NOT NULL,
    readings         INTEGER NOT NULL,
    usable           INTEGER NOT NULL,
    flagged          INTEGER NOT NULL,       -- flags 3 and 4
    outside          INTEGER NOT NULL,       -- usable readings outside the range of the tag
    lowest           DECIMAL(18,6),          -- null: no usable reading
    highest          DECIMAL(18,6),
    total            DECIMAL(38,6),          -- sum; the mean is total / usable
    first_value      DECIMAL(18,6),
    last_value       DECIMAL(18,6),
    first_at         TIMESTAMPTZ NOT NULL,   -- of all readings
    last_at          TIMESTAMPTZ NOT NULL,
    inner_gaps       INTEGER NOT NULL,       -- more than three intervals without a reading, inside the day
    inner_gap_s      BIGINT NOT NULL,
    outside_s        BIGINT NOT NULL         -- seconds outside the range
);

-- In how many parts the readings of a month (in the plant's zone) stand; a closed month is put into one, in the order of tag and time.
CREATE TABLE reading_month (
    month DATE NOT NULL,
    parts BIGINT NOT NULL
);

CREATE VIEW reading_in_force AS
SELECT tag_id, read_at, value, flag, line, delivered_by, counts_from
FROM reading
WHERE delivered_by NOT IN (SELECT change_id FROM reading_pending);

-- What became of the cells of each load of readings. Each kept reading has one finding at most, so flags add up.
CREATE VIEW reading_account AS
SELECT
    load_id,
    sum(cells)::BIGINT AS cells,
    coalesce(sum(cells) FILTER (outcome = 'empty'), 0)::BIGINT AS empty,
    coalesce(sum(cells) FILTER (outcome = 'set aside'), 0)::BIGINT AS set_aside,
    coalesce(sum(cells) FILTER (outcome = 'held'), 0)::BIGINT AS held,
    coalesce(sum(cells) FILTER (outcome = 'duplicate'), 0)::BIGINT AS duplicate,
    coalesce(sum(cells) FILTER (outcome = 'new'), 0)::BIGINT AS new,
    coalesce(sum(cells) FILTER (outcome = 'revision'), 0)::BIGINT AS revision,
    coalesce(any_value(flagged.cells_flagged), 0)::BIGINT AS flagged
FROM reading_outcome
LEFT JOIN (
    SELECT load_id, sum(cells)::BIGINT AS cells_flagged FROM reading_finding WHERE severity = 'flag' GROUP BY load_id
) AS flagged USING (load_id)
GROUP BY load_id;

CREATE MACRO whole_account_as_of(as_of) AS TABLE
SELECT
    account.load_id,
    account.cells + coalesce(readings.cells, 0) AS cells,
    account.empty + coalesce(readings.empty, 0) AS empty,
    account.set_aside + coalesce(readings.set_aside, 0) AS set_aside,
    account.held + coalesce(readings.held, 0) AS held,
    account.duplicate + coalesce(readings.duplicate, 0) AS duplicate,
    account.new + coalesce(readings.new, 0) AS new,
    account.revision + coalesce(readings.revision, 0) AS revision,
    account.flagged + coalesce(readings.flagged, 0) AS flagged
FROM account_as_of(as_of) AS account
LEFT JOIN reading_account AS readings USING (load_id);

CREATE OR REPLACE VIEW load_account AS
FROM whole_account_as_of(NULL);

-- Readings that counted as of an event; null stands for now.
CREATE MACRO reading_as_of(as_of) AS TABLE
SELECT tag_id, read_at, value, flag, line, delivered_by
FROM reading
WHERE counts_from IN (
    SELECT change_id FROM reading_change WHERE event_id <= coalesce(as_of, 9223372036854775807)
)
UNION ALL
SELECT tag_id, read_at, value, flag, line, delivered_by
FROM reading_past
WHERE counts_from IN (SELECT change_id FROM reading_change WHERE event_id <= as_of)
    AND counts_to IN (SELECT change_id FROM reading_change WHERE event_id > as_of);
