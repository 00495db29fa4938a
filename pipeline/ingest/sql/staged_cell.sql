-- One row a value cell of one file: what was written, and what it was read as. Lives in the load's own scratch database.
-- Texts are '' when the file says nothing; typed columns are null when the text could not be read or nothing was said.
CREATE OR REPLACE TABLE staged_cell (
    cell_id                  BIGINT NOT NULL,   -- position in file order, from 0
    line                     BIGINT NOT NULL,   -- physical line on which the record starts, from 1
    column_name              VARCHAR NOT NULL,  -- header of the value column
    set_aside                VARCHAR NOT NULL,  -- the layout rule that sets the cell aside; '' otherwise
    -- as written
    result_id_text           VARCHAR NOT NULL,  -- the sender's own identifier of the result
    sender_text              VARCHAR NOT NULL,
    laboratory_text          VARCHAR NOT NULL,  -- reporting laboratory
    laboratory_sample_text   VARCHAR NOT NULL,  -- laboratory's sample id
    sample_text              VARCHAR NOT NULL,  -- our own sample id
    point_text               VARCHAR NOT NULL,
    analyte_text             VARCHAR NOT NULL,
    cas_text                 VARCHAR NOT NULL,
    fraction_text            VARCHAR NOT NULL,
    value_text               VARCHAR NOT NULL,
    unit_text                VARCHAR NOT NULL,
    basis_text               VARCHAR NOT NULL,
    qualifier_text           VARCHAR NOT NULL,
    condition_text           VARCHAR NOT NULL,  -- detection condition
    detection_limit_text     VARCHAR NOT NULL,
    reporting_limit_text     VARCHAR NOT NULL,
    limit_unit_text          VARCHAR NOT NULL,  -- unit of the two limits; '' means the unit of the value
    uncertainty_text         VARCHAR NOT NULL,
    method_text              VARCHAR NOT NULL,
    sample_type_text         VARCHAR NOT NULL,
    purpose_text             VARCHAR NOT NULL,
    confirmation_of_text     VARCHAR NOT NULL,
    collected_text           VARCHAR NOT NULL,
    received_text            VARCHAR NOT NULL,
    filtered_text            VARCHAR NOT NULL,
    extracted_text           VARCHAR NOT NULL,
    analyzed_text            VARCHAR NOT NULL,
    preservation_text        VARCHAR NOT NULL,
    receipt_temperature_text VARCHAR NOT NULL,
    dilution_text            VARCHAR NOT NULL,
    replicate_text           VARCHAR NOT NULL,
    batch_text               VARCHAR NOT NULL,
    status_text              VARCHAR NOT NULL,
    revision_text            VARCHAR NOT NULL,
    reported_text            VARCHAR NOT NULL,
    reportable_text          VARCHAR NOT NULL,  -- whether the laboratory stands for this one of its results
    comment_text             VARCHAR NOT NULL,
    -- as read
    laboratory               VARCHAR NOT NULL,  -- reporting laboratory by the plant's name for it, else as written
    row_problem              VARCHAR NOT NULL,  -- the row has more or fewer cells than the header
    analyte                  VARCHAR,           -- canonical name, also when a basis is still missing
    analyte_problem          VARCHAR NOT NULL,  -- why the name is not resolved; '' when it is
    sample_point             VARCHAR,
    fraction                 VARCHAR NOT NULL,  -- total, dissolved, total recoverable or ''
    basis                    VARCHAR NOT NULL,  -- as N, as CaCO3...; '' where none is needed or none was given
    basis_problem            VARCHAR NOT NULL,  -- why the basis is missing or impossible; '' when all is well
    unit                     VARCHAR,           -- canonical spelling of the reported unit
    unit_dimension           VARCHAR NOT NULL,  -- dimension of the reported unit, '' when unknown
    unit_problem             VARCHAR NOT NULL,
    value_kind               VARCHAR NOT NULL,  -- pipeline.vocabulary.ValueKind
    value                    DECIMAL(38,15),    -- number, or the limit of a censored value [unit]
    value_problem            VARCHAR NOT NULL,
    detection_limit          DECIMAL(38,15),    -- [unit]
    reporting_limit          DECIMAL(38,15),    -- [unit]
    limit_problem            VARCHAR NOT NULL,
    canonical_value          DECIMAL(38,15),    -- value brought to the analyte's canonical unit and basis
    canonical_reporting_limit DECIMAL(38,15),   -- likewise the reporting limit, else the detection limit
    convertible              BOOLEAN NOT NULL,  -- unit and basis can be brought to the canonical ones
    uncertainty              DECIMAL(38,15),
    sample_type              VARCHAR NOT NULL,
    word_problem             VARCHAR NOT NULL,  -- a word for sample type, purpose or status that is not known
    purpose                  VARCHAR NOT NULL,
    limit_looked_up          BOOLEAN NOT NULL,  -- the limit comes from the layout, not from the file
    confirmation_of          VARCHAR NOT NULL,  -- our sample id of the sample that this one confirms
    estimated                BOOLEAN NOT NULL,  -- the sender says the number lies between its detection and reporting limit
    collected_at             TIMESTAMPTZ,       -- null when only the date is known
    collected_on             DATE,              -- plant's local date
    collected_problem        VARCHAR NOT NULL,
    received_at              TIMESTAMPTZ,
    received_on              DATE,
    filtered_at              TIMESTAMPTZ,
    filtered_on              DATE,
    extracted_at             TIMESTAMPTZ,
    extracted_on             DATE,
    analyzed_at              TIMESTAMPTZ,
    analyzed_on              DATE,
    time_problem             VARCHAR NOT NULL,  -- what is unreadable or doubtful about any of the other times
    receipt_temperature_c    DECIMAL(38,15),
    dilution                 DECIMAL(38,15),
    status                   VARCHAR NOT NULL,  -- pipeline.vocabulary.ReportStatus
    revision                 DECIMAL(38,15),
    reported_on              DATE,
    reportable               VARCHAR NOT NULL   -- yes, no or ''
);
