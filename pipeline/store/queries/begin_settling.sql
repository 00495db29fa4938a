-- Cells that are being read again with what they said before, and results that have to be looked at again.
CREATE OR REPLACE TEMP TABLE said_before (
    load_id BIGINT, cell_id BIGINT, outcome VARCHAR, result_id BIGINT, key_hash VARCHAR, reading_changed BOOLEAN
);
CREATE OR REPLACE TEMP TABLE touched_key (key_id BIGINT)
