-- How each arriving result stands to every version that is known of it: the same; saying nothing that the known one
-- does not say; or of another content, and then ordered by revision, status and report date, or not.
CREATE OR REPLACE TEMP TABLE known_version AS
SELECT
    cell.cell_id,
    version.result_id,
    version.of_the_same_file,
    version.content_hash = cell.content_hash AS same,
    coalesce(version.revision, 0) = coalesce(cell.revision, 0)
        AND version.reported_on IS NOT DISTINCT FROM cell.reported_on
        AND version.status = cell.status AS tied,
    -- Where one of the two says what the other leaves unsaid, they do not contradict each other.
    version.sample_point = coalesce(cell.sample_point, '') AND version.analyte = cell.analyte AND version.fraction = cell.fraction
        AND version.basis = cell.basis AND version.value_kind = cell.value_kind
        AND version.value IS NOT DISTINCT FROM cell.value AND version.unit IS NOT DISTINCT FROM cell.unit
        AND version.sample_type = cell.sample_type AND version.purpose = cell.purpose AND version.status = cell.status
        AND lower(trim(version.method_text)) = lower(trim(cell.method_text))
        AND version.collected_on IS NOT DISTINCT FROM cell.collected_on AS alike,
    alike
        AND coalesce(cell.collected_at = version.collected_at, cell.collected_at IS NULL)
        AND coalesce(cell.extracted_on = version.extracted_on, cell.extracted_on IS NULL)
        AND coalesce(cell.extracted_at = version.extracted_at, cell.extracted_at IS NULL)
        AND coalesce(cell.analyzed_on = version.analyzed_on, cell.analyzed_on IS NULL)
        AND coalesce(cell.analyzed_at = version.analyzed_at, cell.analyzed_at IS NULL)
        AND coalesce(cell.detection_limit = version.detection_limit, cell.detection_limit IS NULL)
        AND coalesce(cell.reporting_limit = version.reporting_limit, cell.reporting_limit IS NULL)
        AND coalesce(cell.uncertainty = version.uncertainty, cell.uncertainty IS NULL)
        AND coalesce(cell.revision = version.revision, cell.revision IS NULL)
        AND coalesce(cell.reported_on = version.reported_on, cell.reported_on IS NULL)
        AND trim(cell.qualifier_text) IN ('', trim(version.qualifier_text))
        AND trim(cell.condition_text) IN ('', trim(version.condition_text))
        AND cell.confirmation_of IN ('', version.confirmation_of)
        AND cell.reportable IN ('', version.reportable) AS says_no_more,
    alike
        AND coalesce(cell.collected_at = version.collected_at, version.collected_at IS NULL)
        AND coalesce(cell.extracted_on = version.extracted_on, version.extracted_on IS NULL)
        AND coalesce(cell.extracted_at = version.extracted_at, version.extracted_at IS NULL)
        AND coalesce(cell.analyzed_on = version.analyzed_on, version.analyzed_on IS NULL)
        AND coalesce(cell.analyzed_at = version.analyzed_at, version.analyzed_at IS NULL)
        AND coalesce(cell.detection_limit = version.detection_limit, version.detection_limit IS NULL)
        AND coalesce(cell.reporting_limit = version.reporting_limit, version.reporting_limit IS NULL)
        AND coalesce(cell.uncertainty = version.uncertainty, version.uncertainty IS NULL)
        AND trim(version.qualifier_text) IN ('', trim(cell.qualifier_text))
        AND trim(version.condition_text) IN ('', trim(cell.condition_text))
        AND version.confirmation_of IN ('', cell.confirmation_of)
        AND version.reportable IN ('', cell.reportable) AS only_says_more
FROM settling_cell
JOIN arriving_cell AS cell USING (cell_id)
JOIN asserted_version AS version ON version.key_hash = settling_cell.key_hash
WHERE settling_cell.state = 'candidate'
