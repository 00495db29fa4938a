-- Cells that can become results, with what makes them the same result (key) and the same version of it (content).
-- The sender's own result id is the whole key where there is one; else laboratory, sample, analyte and the marks that
-- tell two measurements apart. Without a laboratory sample id our own takes its place, else point and time.
CREATE OR REPLACE TABLE keyed_cell AS
WITH part AS (
    SELECT
        cell_id,
        lower(trim(coalesce(nullif(trim(sender_text), ''), laboratory))) AS sender,
        trim(result_id_text) AS result_identifier,
        trim(result_id_text) <> '' AS has_identifier,
        lower(laboratory) AS laboratory,
        coalesce(
            nullif(trim(laboratory_sample_text), ''),
            nullif(trim(sample_text), ''),
            concat_ws(' at ', sample_point, trim(collected_text))
        ) AS sample,
        analyte,
        fraction,
        lower(trim(method_text)) AS method,
        sample_type,
        lower(trim(replicate_text)) AS replicate,
        coalesce(dilution::VARCHAR, '') AS dilution,
        lower(trim(batch_text)) AS batch,
        sha256(concat_ws(
            chr(31),
            sample_point, coalesce(collected_at::VARCHAR, collected_on::VARCHAR), analyte, fraction, basis, value_kind,
            trim(value_text), coalesce(value::VARCHAR, ''), coalesce(unit, ''), trim(qualifier_text),
            trim(condition_text), coalesce(detection_limit::VARCHAR, ''), coalesce(reporting_limit::VARCHAR, ''),
            coalesce(uncertainty::VARCHAR, ''), lower(trim(method_text)), sample_type, purpose, confirmation_of,
            coalesce(extracted_at::VARCHAR, extracted_on::VARCHAR, ''),
            coalesce(analyzed_at::VARCHAR, analyzed_on::VARCHAR, ''),
            status, coalesce(revision::VARCHAR, ''), coalesce(reported_on::VARCHAR, ''),
            nullif(reportable, '')
        )) AS content_hash
    FROM staged_cell
    WHERE value_kind <> 'empty'
        AND set_aside = ''
        AND cell_id NOT IN (SELECT cell_id FROM staged_finding WHERE severity = 'hold')
)
SELECT
    cell_id, sender, result_identifier, content_hash,
    CASE WHEN has_identifier THEN '' ELSE laboratory END AS key_laboratory,
    CASE WHEN has_identifier THEN '' ELSE sample END AS key_sample,
    CASE WHEN has_identifier THEN '' ELSE analyte END AS key_analyte,
    CASE WHEN has_identifier THEN '' ELSE fraction END AS key_fraction,
    CASE WHEN has_identifier THEN '' ELSE method END AS key_method,
    CASE WHEN has_identifier THEN '' ELSE sample_type END AS key_sample_type,
    CASE WHEN has_identifier THEN '' ELSE replicate END AS key_replicate,
    CASE WHEN has_identifier THEN '' ELSE dilution END AS key_dilution,
    CASE WHEN has_identifier THEN '' ELSE batch END AS key_batch,
    sha256(concat_ws(
        chr(31), sender, result_identifier, key_laboratory, key_sample, key_analyte, key_fraction, key_method,
        key_sample_type, key_replicate, key_dilution, key_batch
    )) AS key_hash
FROM part
