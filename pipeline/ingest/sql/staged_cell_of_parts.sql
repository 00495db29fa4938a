-- The staged cells, put together from what is a cell's own and what it shares with others.
CREATE OR REPLACE VIEW staged_cell AS
SELECT
    read_cell.* EXCLUDE (statement_id),
    stated.* EXCLUDE (statement_id, wording_id, sender, factor, addend, is_quality_control, purpose_by_word)
FROM read_cell
JOIN read_statement AS stated USING (statement_id)
