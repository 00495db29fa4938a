-- Taking back, deciding and reading again: all three are appended as events, and nothing that was stored is touched.

-- What a laboratory makes for itself, a method blank, was collected nowhere and never.
ALTER TABLE result ALTER COLUMN collected_on DROP NOT NULL;

-- A load that was taken back: what it alone says no longer counts.
CREATE TABLE withdrawal (
    event_id BIGINT NOT NULL,
    load_id  BIGINT NOT NULL,
    reason   VARCHAR NOT NULL
);

-- A load that was read again from the archive.
CREATE TABLE reread (
    event_id BIGINT NOT NULL,
    load_id  BIGINT NOT NULL
);

INSERT INTO reread
SELECT DISTINCT cell_outcome.event_id, cell_outcome.load_id
FROM cell_outcome
JOIN load USING (load_id)
WHERE cell_outcome.event_id <> load.event_id;

-- What a person decided. The target is a version of a result (key and content), a cell as delivered (file, line and
-- column), or both; a revision is another content, and the decision does not reach it.
CREATE TABLE decision (
    event_id         BIGINT NOT NULL,
    scope            VARCHAR NOT NULL,   -- pipeline.vocabulary.DecisionScope
    action           VARCHAR NOT NULL,   -- pipeline.vocabulary.DecisionAction
    key_hash         VARCHAR NOT NULL,
    content_hash     VARCHAR NOT NULL,
    file_sha256      VARCHAR NOT NULL,
    line             BIGINT,
    column_name      VARCHAR NOT NULL,
    sample_point     VARCHAR NOT NULL,
    sample           VARCHAR NOT NULL,
    analyte          VARCHAR NOT NULL,
    fraction         VARCHAR NOT NULL,
    reason           VARCHAR NOT NULL,
    agency_reference VARCHAR NOT NULL
);

-- Marks that tell measurements of one sample apart, and the laboratory's word on which of them it stands for.
ALTER TABLE result ADD COLUMN replicate_text VARCHAR DEFAULT '';
ALTER TABLE result ADD COLUMN dilution DECIMAL(38,15);
ALTER TABLE result ADD COLUMN batch_text VARCHAR DEFAULT '';
ALTER TABLE result ADD COLUMN reportable VARCHAR DEFAULT '';
ALTER TABLE result ALTER COLUMN replicate_text SET NOT NULL;
ALTER TABLE result ALTER COLUMN batch_text SET NOT NULL;
ALTER TABLE result ALTER COLUMN reportable SET NOT NULL;

UPDATE result
SET replicate_text = known.replicate, dilution = try_cast(known.dilution AS DECIMAL(38,15)), batch_text = known.batch
FROM result_key AS known
WHERE known.key_id = result.key_id;

-- The questions of the store, as of an event; null stands for now.

CREATE MACRO outcome_as_of(as_of) AS TABLE
SELECT *
FROM cell_outcome
WHERE event_id <= coalesce(as_of, 9223372036854775807)
QUALIFY row_number() OVER (PARTITION BY load_id, cell_id ORDER BY event_id DESC) = 1;

CREATE MACRO withdrawn_as_of(as_of) AS TABLE
SELECT load_id, min(event_id) AS event_id, arg_min(reason, event_id) AS reason
FROM withdrawal
WHERE event_id <= coalesce(as_of, 9223372036854775807)
GROUP BY load_id;

CREATE MACRO result_as_of(as_of) AS TABLE
SELECT result.*
FROM result
JOIN in_force USING (result_id)
WHERE in_force.from_event <= coalesce(as_of, 9223372036854775807)
    AND coalesce(in_force.to_event, 9223372036854775807) > coalesce(as_of, 9223372036854775806);

-- The last word on each version of a result: accepted or rejected.
CREATE MACRO version_decision_as_of(as_of) AS TABLE
SELECT decision.*, event.happened_at, event.who
FROM decision
JOIN event USING (event_id)
WHERE event_id <= coalesce(as_of, 9223372036854775807) AND decision.key_hash <> '' AND decision.scope <> 'sample'
QUALIFY row_number() OVER (PARTITION BY decision.key_hash, decision.content_hash ORDER BY event_id DESC) = 1;

-- The last word on which of several results of a sample counts.
CREATE MACRO choice_as_of(as_of) AS TABLE
SELECT decision.*, event.happened_at, event.who
FROM decision
JOIN event USING (event_id)
WHERE event_id <= coalesce(as_of, 9223372036854775807) AND decision.scope = 'sample'
QUALIFY row_number() OVER (
    PARTITION BY decision.sample_point, decision.sample, decision.analyte, decision.fraction ORDER BY event_id DESC
) = 1;

-- The last word on each cell as delivered.
CREATE MACRO cell_decision_as_of(as_of) AS TABLE
SELECT decision.*, event.happened_at, event.who
FROM decision
JOIN event USING (event_id)
WHERE event_id <= coalesce(as_of, 9223372036854775807) AND decision.file_sha256 <> ''
QUALIFY row_number() OVER (
    PARTITION BY decision.file_sha256, decision.line, decision.column_name ORDER BY event_id DESC
) = 1;

CREATE MACRO account_as_of(as_of) AS TABLE
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
LEFT JOIN outcome_as_of(as_of) AS cell ON cell.load_id = load.load_id
LEFT JOIN (
    SELECT DISTINCT load_id, cell_id, event_id FROM finding WHERE severity = 'flag'
) AS flagged
    ON flagged.load_id = cell.load_id AND flagged.cell_id = cell.cell_id AND flagged.event_id = cell.event_id
WHERE load.event_id <= coalesce(as_of, 9223372036854775807)
GROUP BY load.load_id;

-- Cells held by the last load of their file that was not withdrawn: a file that was loaded twice is counted once.
CREATE MACRO held_as_of(as_of) AS TABLE
SELECT
    cell.load_id, cell.cell_id, cell.event_id, cell.line, cell.column_name, last_load.file_name, last_load.loaded_at,
    text.laboratory_text, text.sample_text, text.point_text, text.analyte_text, text.value_text, text.unit_text,
    text.collected_text, text.analyte, text.sample_point, text.collected_on
FROM outcome_as_of(as_of) AS cell
JOIN (
    SELECT load.load_id, load.file_name, event.happened_at AS loaded_at
    FROM load
    JOIN event USING (event_id)
    WHERE load.event_id <= coalesce(as_of, 9223372036854775807)
        AND load.load_id NOT IN (SELECT load_id FROM withdrawn_as_of(as_of))
    QUALIFY row_number() OVER (PARTITION BY load.file_id ORDER BY load.load_id DESC) = 1
) AS last_load USING (load_id)
JOIN held_text AS text USING (load_id, cell_id, event_id)
WHERE cell.outcome = 'held';

-- Words on a cell that a later reading replaced; only loads that were read again have any.
CREATE VIEW superseded_outcome AS
SELECT load_id, cell_id, event_id
FROM cell_outcome
WHERE load_id IN (SELECT load_id FROM reread)
QUALIFY row_number() OVER (PARTITION BY load_id, cell_id ORDER BY event_id DESC) > 1;

-- Which version of a result each cell says now; a version that no cell says does not count.
CREATE VIEW assertion AS
SELECT said.load_id, said.cell_id, said.result_id, said.event_id
FROM cell_outcome AS said
ANTI JOIN withdrawal USING (load_id)
ANTI JOIN superseded_outcome USING (load_id, cell_id, event_id)
WHERE said.result_id IS NOT NULL;

CREATE OR REPLACE VIEW current_outcome AS
SELECT said.*
FROM cell_outcome AS said
ANTI JOIN superseded_outcome USING (load_id, cell_id, event_id);

CREATE OR REPLACE VIEW result_current AS
SELECT result.*
FROM result
JOIN in_force USING (result_id)
WHERE in_force.to_event IS NULL;

CREATE OR REPLACE VIEW held_now AS
FROM held_as_of(NULL);

CREATE OR REPLACE VIEW load_account AS
FROM account_as_of(NULL);
