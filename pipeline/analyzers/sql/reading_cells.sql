-- The tables in which a file of readings is read; they live as long as one load.

-- One row a value cell of the block at hand, as written; made anew for each. number is what a plain number says; other
-- texts stand in odd. position counts lines from the beginning of the block; null: the row's own place is it.
CREATE TEMP TABLE cell_text (
    position    BIGINT,
    wall_us     BIGINT,              -- microseconds from 1970 by the clock of the file; null: not readable
    time_text   VARCHAR,
    tag_text    VARCHAR,
    number      DECIMAL(18,6),
    odd         VARCHAR,
    status_text VARCHAR,
    rule        INTEGER,             -- the rule by which it is set aside
    fault       VARCHAR              -- why its line cannot be split into the columns
);

-- The line on which the block at hand begins.
CREATE TEMP TABLE block (first_line BIGINT NOT NULL);

-- Every way of writing that has been met, and what it means.
CREATE TEMP TABLE tag_spelling (text VARCHAR NOT NULL, tag_id INTEGER);
CREATE TEMP TABLE status_spelling (text VARCHAR NOT NULL, flag UTINYINT);
CREATE TEMP TABLE value_spelling (text VARCHAR NOT NULL, number DECIMAL(18,6), code VARCHAR NOT NULL);

-- Cells with what keeps them from being readings; the first reason counts.
CREATE TEMP VIEW judged_cell AS
SELECT
    block.first_line + coalesce(cell.position, cell.rowid) AS line, cell.wall_us, cell.time_text, cell.tag_text, cell.odd, cell.status_text, cell.rule,
    tag.tag_id, coalesce(cell.number, spelled.number) AS value, status.flag,
    CASE
        WHEN cell.fault IS NOT NULL THEN 'line'
        WHEN cell.number IS NULL AND (cell.odd IS NULL OR spelled.code = 'empty') THEN 'empty'
        WHEN cell.rule IS NOT NULL THEN 'rule'
        WHEN tag.tag_id IS NULL THEN 'tag'
        WHEN cell.wall_us IS NULL THEN 'time'
        WHEN status.flag IS NULL THEN 'status'
        WHEN status.flag = 9 THEN 'missing'
        WHEN cell.number IS NULL AND spelled.code <> '' THEN spelled.code
        ELSE ''
    END AS code,
    cell.fault
FROM cell_text AS cell
CROSS JOIN block
LEFT JOIN tag_spelling AS tag ON tag.text = cell.tag_text
LEFT JOIN status_spelling AS status ON status.text = cell.status_text
LEFT JOIN value_spelling AS spelled ON spelled.text = cell.odd;

-- Cells that are readings, in the order of the file.
CREATE TEMP TABLE arrived (
    tag_id   INTEGER NOT NULL,
    read_us  BIGINT NOT NULL,        -- microseconds from 1970 in UTC
    value    DECIMAL(18,6) NOT NULL,
    flag     UTINYINT NOT NULL,
    line     BIGINT NOT NULL,
    doubtful BOOLEAN NOT NULL        -- told apart from its twin by the order of lines, when the clock was set back
);

-- Readings of an hour that came twice, until the whole file is read.
CREATE TEMP TABLE told_by_order (
    tag_id      INTEGER NOT NULL,
    wall_us     BIGINT NOT NULL,
    value       DECIMAL(18,6) NOT NULL,
    flag        UTINYINT NOT NULL,
    line        BIGINT NOT NULL,
    column_name VARCHAR NOT NULL,
    tag_text    VARCHAR NOT NULL,
    span_us     BIGINT NOT NULL,
    ahead       BIGINT NOT NULL,
    ahead_again BIGINT NOT NULL
);

-- Cells that are none, those of one reason together, block by block.
CREATE TEMP TABLE unread (
    column_name VARCHAR NOT NULL,
    tag_text    VARCHAR NOT NULL,
    code        VARCHAR NOT NULL,
    detail      VARCHAR NOT NULL,
    cells       BIGINT NOT NULL,
    first_line  BIGINT NOT NULL,
    last_line   BIGINT NOT NULL,
    lines       BIGINT[] NOT NULL,
    example     VARCHAR NOT NULL
);
