-- What the checks say of the staged cells; one row a cell and failing rule.
CREATE OR REPLACE TABLE staged_finding (
    cell_id                BIGINT NOT NULL,
    rule_id                VARCHAR NOT NULL,
    severity               VARCHAR NOT NULL,   -- pipeline.vocabulary.Severity
    excludes_from_compliance BOOLEAN NOT NULL, -- true where the result may be looked at but not used for compliance
    message                VARCHAR NOT NULL,
    remedy                 VARCHAR NOT NULL
);
