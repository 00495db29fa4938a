-- The arriving cells as rows of the table of results, in the order of its columns. What a laboratory makes for itself, a
-- method blank, stands at no sample point.
CREATE OR REPLACE TEMP VIEW as_result AS
SELECT
    cell.cell_id, cell.line, cell.column_name, cell.content_hash, cell.laboratory, cell.laboratory_sample_text,
    cell.sample_text, coalesce(cell.sample_point, '') AS sample_point, cell.analyte, cell.fraction, cell.basis, cell.value_kind, cell.value_text,
    cell.value, cell.unit_text, cell.unit, cell.qualifier_text, cell.condition_text, cell.detection_limit,
    cell.reporting_limit, cell.limit_looked_up, cell.canonical_value, cell.canonical_reporting_limit, cell.estimated,
    cell.uncertainty, cell.method_text, cell.sample_type, cell.purpose, cell.confirmation_of, cell.collected_text,
    cell.collected_at, cell.collected_on, cell.received_at, cell.received_on, cell.extracted_at, cell.extracted_on,
    cell.analyzed_at, cell.analyzed_on, cell.status, cell.revision, cell.reported_on, cell.comment_text,
    trim(cell.replicate_text) AS replicate_text, cell.dilution, trim(cell.batch_text) AS batch_text, cell.reportable
FROM arriving_cell AS cell
