-- Samples as custody sheets and field logs tell of them; appended like results, and in force by event like them.

-- One line of a sheet as delivered and as read; never changed. Nulls: not said.
CREATE TABLE logged_sample (
    logged_id         BIGINT NOT NULL,
    load_id           BIGINT NOT NULL,
    cell_id           BIGINT NOT NULL,
    line              BIGINT NOT NULL,
    event_id          BIGINT NOT NULL,
    key_hash          VARCHAR NOT NULL,  -- what makes two lines tell of the same bottle: sample, laboratory, bottle
    content_hash      VARCHAR NOT NULL,
    sample            VARCHAR NOT NULL,  -- our own sample id
    laboratory_sample VARCHAR NOT NULL,
    laboratory        VARCHAR NOT NULL,  -- where it was sent
    bottle            VARCHAR NOT NULL,
    sample_point      VARCHAR NOT NULL,
    sampler           VARCHAR NOT NULL,
    collected_text    VARCHAR NOT NULL,
    collected_at      TIMESTAMPTZ,
    collected_on      DATE NOT NULL,
    relinquished_text VARCHAR NOT NULL,
    relinquished_at   TIMESTAMPTZ,
    relinquished_on   DATE,
    received_text     VARCHAR NOT NULL,
    received_at       TIMESTAMPTZ,
    received_on       DATE,
    purpose           VARCHAR NOT NULL,  -- pipeline.vocabulary.Purpose; '' where the sheet does not say
    confirmation_of   VARCHAR NOT NULL,
    repeat_of         VARCHAR NOT NULL,
    split_of          VARCHAR NOT NULL,
    requested_text    VARCHAR NOT NULL,
    requested         VARCHAR[] NOT NULL,  -- analytes; empty: everything that is planned
    revision          DECIMAL(38,15),
    issued_on         DATE,
    filled            BIGINT NOT NULL,   -- how many parts the line fills: the fuller of two that agree is the newer one
    comment_text      VARCHAR NOT NULL
);

-- Which line a cell of a sheet is, or is a duplicate of.
CREATE TABLE logged_cell (
    load_id   BIGINT NOT NULL,
    cell_id   BIGINT NOT NULL,
    event_id  BIGINT NOT NULL,
    logged_id BIGINT NOT NULL
);

-- From which event to which event a line counts; to_event is null while it does.
CREATE TABLE logged_in_force (
    logged_id  BIGINT NOT NULL,
    key_hash   VARCHAR NOT NULL,
    from_event BIGINT NOT NULL,
    to_event   BIGINT
);

-- The questions of the sample log, as of an event; null stands for now.

-- Which line each cell says: its last word, of loads that were not taken back.
CREATE MACRO logged_assertion_as_of(as_of) AS TABLE
SELECT said.load_id, said.cell_id, said.event_id, said.logged_id
FROM logged_cell AS said
SEMI JOIN outcome_as_of(as_of) AS last USING (load_id, cell_id, event_id)
ANTI JOIN withdrawn_as_of(as_of) AS withdrawn USING (load_id);

CREATE MACRO sample_line_as_of(as_of) AS TABLE
SELECT logged_sample.*
FROM logged_sample
JOIN logged_in_force USING (logged_id, key_hash)
WHERE logged_in_force.from_event <= coalesce(as_of, 9223372036854775807)
    AND coalesce(logged_in_force.to_event, 9223372036854775807) > coalesce(as_of, 9223372036854775806);

-- One row a sample: where several lines tell of it, the newest that says why it was taken.
CREATE MACRO sample_log_as_of(as_of) AS TABLE
SELECT *
FROM sample_line_as_of(as_of)
QUALIFY row_number() OVER (
    PARTITION BY sample
    ORDER BY purpose = '', coalesce(revision, 0) DESC, issued_on DESC NULLS LAST, filled DESC, logged_id
) = 1;

CREATE VIEW current_sample_line AS
FROM sample_line_as_of(NULL);

CREATE VIEW current_sample_log AS
FROM sample_log_as_of(NULL);
