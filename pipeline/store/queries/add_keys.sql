INSERT INTO result_key
SELECT
    decided.key_id, cell.key_hash, cell.sender, cell.result_identifier, cell.key_laboratory, cell.key_sample,
    cell.key_analyte, cell.key_fraction, cell.key_method, cell.key_sample_type, cell.key_replicate, cell.key_dilution,
    cell.key_batch
FROM decided
JOIN arriving_cell AS cell USING (cell_id)
WHERE decided.is_new_key
