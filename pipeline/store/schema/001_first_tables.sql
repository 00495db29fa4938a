-- Everything is appended and nothing is overwritten; only in_force closes its intervals, and can be recomputed.

-- The only clock: what was done, when, by whom, with which version of the plant folder.
CREATE TABLE event (
    event_id      BIGINT NOT NULL,
    kind          VARCHAR NOT NULL,      -- load, retry
    happened_at   TIMESTAMPTZ NOT NULL,
    who           VARCHAR NOT NULL,
    plant_version BIGINT NOT NULL,
    detail        VARCHAR NOT NULL
);

CREATE TABLE plant_version (
    plant_version BIGINT NOT NULL,
    sha256        VARCHAR NOT NULL,
    event_id      BIGINT NOT NULL        -- the first event that used it
);

CREATE TABLE file (
    file_id BIGINT NOT NULL,
    sha256  VARCHAR NOT NULL,            -- its name in the archive
    bytes   BIGINT NOT NULL
);

CREATE TABLE load (
    load_id      BIGINT NOT NULL,
    file_id      BIGINT NOT NULL,
    file_name    VARCHAR NOT NULL,       -- as delivered
    layout       VARCHAR NOT NULL,
    layout_sha   VARCHAR NOT NULL,
    encoding     VARCHAR NOT NULL,
    event_id     BIGINT NOT NULL,
    lines_title  BIGINT NOT NULL,
    lines_header BIGINT NOT NULL,
    lines_blank  BIGINT NOT NULL,
    lines_data   BIGINT NOT NULL
);

-- What became of every cell; a retry appends, the latest counts.
CREATE TABLE cell_outcome (
    load_id   BIGINT NOT NULL,
    cell_id   BIGINT NOT NULL,
    line      BIGINT NOT NULL,
    column_name VARCHAR NOT NULL,
    outcome   VARCHAR NOT NULL,          -- pipeline.vocabulary.CellOutcome
    reason    VARCHAR NOT NULL,          -- why it was set aside; '' otherwise
    result_id BIGINT,                    -- the result it is, or is a duplicate of; null when empty, set aside or held
    event_id  BIGINT NOT NULL
);

-- What a held cell says, so that a person can judge it without the file.
CREATE TABLE held_text (
    load_id       BIGINT NOT NULL,
    cell_id       BIGINT NOT NULL,
    event_id      BIGINT NOT NULL,
    laboratory_text VARCHAR NOT NULL,
    sample_text   VARCHAR NOT NULL,
    point_text    VARCHAR NOT NULL,
    analyte_text  VARCHAR NOT NULL,
    value_text    VARCHAR NOT NULL,
    unit_text     VARCHAR NOT NULL,
    collected_text VARCHAR NOT NULL,
    analyte       VARCHAR,               -- read so far; null when not
    sample_point  VARCHAR,
    collected_on  DATE
);

-- What makes a result the same result when it comes again; absent parts are ''.
CREATE TABLE result_key (
    key_id            BIGINT NOT NULL,
    key_hash          VARCHAR NOT NULL,
    sender            VARCHAR NOT NULL,
    result_identifier VARCHAR NOT NULL,  -- the sender's own
    laboratory        VARCHAR NOT NULL,
    sample            VARCHAR NOT NULL,
    analyte           VARCHAR NOT NULL,
    fraction          VARCHAR NOT NULL,
    method            VARCHAR NOT NULL,
    sample_type       VARCHAR NOT NULL,
    replicate         VARCHAR NOT NULL,
    dilution          VARCHAR NOT NULL,
    batch             VARCHAR NOT NULL
);

-- A result as delivered and as read; never changed. Nulls: not said, or not readable.
CREATE TABLE result (
    result_id       BIGINT NOT NULL,
    key_id          BIGINT NOT NULL,
    load_id         BIGINT NOT NULL,
    cell_id         BIGINT NOT NULL,
    line            BIGINT NOT NULL,
    column_name     VARCHAR NOT NULL,
    event_id        BIGINT NOT NULL,
    content_hash    VARCHAR NOT NULL,
    laboratory      VARCHAR NOT NULL,
    laboratory_sample_text VARCHAR NOT NULL,
    sample_text     VARCHAR NOT NULL,    -- our own sample id
    sample_point    VARCHAR NOT NULL,
    analyte         VARCHAR NOT NULL,
    fraction        VARCHAR NOT NULL,
    basis           VARCHAR NOT NULL,
    value_kind      VARCHAR NOT NULL,    -- pipeline.vocabulary.ValueKind
    value_text      VARCHAR NOT NULL,
    value           DECIMAL(38,15),      -- number, or the limit of a censored value [unit]
    unit_text       VARCHAR NOT NULL,
    unit            VARCHAR,
    qualifier_text  VARCHAR NOT NULL,
    condition_text  VARCHAR NOT NULL,
    detection_limit DECIMAL(38,15),      -- [unit]
    reporting_limit DECIMAL(38,15),      -- [unit]
    limit_looked_up BOOLEAN NOT NULL,
    canonical_value DECIMAL(38,15),      -- for display and trends; verdicts convert from value
    canonical_reporting_limit DECIMAL(38,15),
    estimated       BOOLEAN NOT NULL,
    uncertainty     DECIMAL(38,15),
    method_text     VARCHAR NOT NULL,
    sample_type     VARCHAR NOT NULL,
    purpose         VARCHAR NOT NULL,
    confirmation_of VARCHAR NOT NULL,
    collected_text  VARCHAR NOT NULL,
    collected_at    TIMESTAMPTZ,
    collected_on    DATE NOT NULL,
    received_at     TIMESTAMPTZ,
    received_on     DATE,
    extracted_at    TIMESTAMPTZ,
    extracted_on    DATE,
    analyzed_at     TIMESTAMPTZ,
    analyzed_on     DATE,
    status          VARCHAR NOT NULL,    -- pipeline.vocabulary.ReportStatus
    revision        DECIMAL(38,15),
    reported_on     DATE,
    comment_text    VARCHAR NOT NULL
);

-- From which event to which event a version of a result counts; to_event is null while it does.
CREATE TABLE in_force (
    result_id  BIGINT NOT NULL,
    key_id     BIGINT NOT NULL,
    from_event BIGINT NOT NULL,
    to_event   BIGINT
);

CREATE TABLE finding (
    load_id  BIGINT NOT NULL,
    cell_id  BIGINT NOT NULL,
    rule_id  VARCHAR NOT NULL,
    severity VARCHAR NOT NULL,           -- pipeline.vocabulary.Severity
    excludes_from_compliance BOOLEAN NOT NULL,
    message  VARCHAR NOT NULL,
    remedy   VARCHAR NOT NULL,
    event_id BIGINT NOT NULL
);

CREATE VIEW current_outcome AS
SELECT * FROM cell_outcome QUALIFY row_number() OVER (PARTITION BY load_id, cell_id ORDER BY event_id DESC) = 1;

CREATE VIEW current_finding AS
SELECT finding.*
FROM finding
JOIN current_outcome USING (load_id, cell_id, event_id);

CREATE VIEW result_current AS
SELECT result.*
FROM result
JOIN in_force USING (result_id)
WHERE in_force.to_event IS NULL;

-- What became of the cells of each load, by the latest word on each.
CREATE VIEW load_account AS
SELECT
    load.load_id,
    count(cell.cell_id) AS cells,
    count(cell.cell_id) FILTER (cell.outcome = 'empty') AS empty,
    count(cell.cell_id) FILTER (cell.outcome = 'set aside') AS set_aside,
    count(cell.cell_id) FILTER (cell.outcome = 'held') AS held,
    count(cell.cell_id) FILTER (cell.outcome = 'duplicate') AS duplicate,
    count(cell.cell_id) FILTER (cell.outcome = 'new') AS new,
    count(cell.cell_id) FILTER (cell.outcome = 'revision') AS revision,
    count(cell.cell_id) FILTER (cell.outcome IN ('new', 'revision') AND flagged.cell_id IS NOT NULL) AS flagged
FROM load
LEFT JOIN current_outcome AS cell ON cell.load_id = load.load_id
LEFT JOIN (
    SELECT DISTINCT load_id, cell_id, event_id FROM finding WHERE severity = 'flag'
) AS flagged
    ON flagged.load_id = cell.load_id AND flagged.cell_id = cell.cell_id AND flagged.event_id = cell.event_id
GROUP BY load.load_id;

-- Cells that are held by the last load of their file: a file that was loaded twice is counted once.
CREATE VIEW held_now AS
SELECT
    cell.load_id, cell.cell_id, cell.event_id, cell.line, cell.column_name, last_load.file_name, last_load.loaded_at,
    text.laboratory_text, text.sample_text, text.point_text, text.analyte_text, text.value_text, text.unit_text,
    text.collected_text, text.analyte, text.sample_point, text.collected_on
FROM current_outcome AS cell
JOIN (
    SELECT load.load_id, load.file_name, event.happened_at AS loaded_at
    FROM load
    JOIN event USING (event_id)
    QUALIFY row_number() OVER (PARTITION BY load.file_id ORDER BY load.load_id DESC) = 1
) AS last_load USING (load_id)
JOIN held_text AS text USING (load_id, cell_id, event_id)
WHERE cell.outcome = 'held';
