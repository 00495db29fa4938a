-- Why no holding time was chosen for a combination, where the table has several that differ.
CREATE OR REPLACE TABLE holding_note (case_id BIGINT NOT NULL, note VARCHAR NOT NULL)
