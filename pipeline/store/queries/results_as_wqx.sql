-- Results in force with the column names of WQX 2.2; a censored value has its limit in the detection-limit columns.
SELECT
    result.laboratory AS "OrganizationIdentifier",
    coalesce(nullif(result.sample_text, ''), result.laboratory_sample_text) AS "ActivityIdentifier",
    CASE result.sample_type
        WHEN 'sample, routine' THEN 'Sample-Routine'
        WHEN 'sample, composite' THEN 'Sample-Composite Without Parents'
        WHEN 'field measurement' THEN 'Field Msr/Obs'
        WHEN 'quality control, field replicate' THEN 'Quality Control Sample-Field Replicate'
        WHEN 'quality control, field blank' THEN 'Quality Control Sample-Field Blank'
        WHEN 'quality control, trip blank' THEN 'Quality Control Sample-Trip Blank'
        WHEN 'quality control, method blank' THEN 'Quality Control Sample-Lab Blank'
        WHEN 'quality control, laboratory duplicate' THEN 'Quality Control Sample-Lab Duplicate'
        WHEN 'quality control, matrix spike' THEN 'Quality Control Sample-Lab Matrix Spike'
        WHEN 'quality control, laboratory control sample' THEN 'Quality Control Sample-Lab Spike'
        ELSE 'Quality Control Sample-Other'
    END AS "ActivityTypeCode",
    'Water' AS "ActivityMediaName",
    coalesce(strftime(result.collected_at AT TIME ZONE 'UTC', '%Y-%m-%d'), result.collected_on::VARCHAR)
        AS "ActivityStartDate",
    coalesce(strftime(result.collected_at AT TIME ZONE 'UTC', '%H:%M:%S'), '') AS "ActivityStartTime/Time",
    CASE WHEN result.collected_at IS NULL THEN '' ELSE 'UTC' END AS "ActivityStartTime/TimeZoneCode",
    result.sample_point AS "MonitoringLocationIdentifier",
    'barrierbook-' || result.result_id AS "ResultIdentifier",
    result.analyte AS "CharacteristicName",
    CASE result.fraction
        WHEN 'total' THEN 'Total' WHEN 'dissolved' THEN 'Dissolved' WHEN 'total recoverable' THEN 'Total Recoverable'
        ELSE ''
    END AS "ResultSampleFractionText",
    result.basis AS "MethodSpeciationName",
    CASE result.value_kind
        WHEN 'below' THEN 'Not Detected'
        WHEN 'above' THEN 'Present Above Quantification Limit'
        WHEN 'not analyzed' THEN 'Not Reported'
        ELSE ''
    END AS "ResultDetectionConditionText",
    CASE
        WHEN result.value_kind IN ('below', 'not analyzed') THEN ''
        WHEN result.value_kind IN ('number', 'above') THEN rtrim(rtrim(result.value::VARCHAR, '0'), '.')
        ELSE result.value_kind
    END AS "ResultMeasureValue",
    coalesce(result.unit, '') AS "ResultMeasure/MeasureUnitCode",
    result.qualifier_text AS "MeasureQualifierCode",
    CASE result.status WHEN 'preliminary' THEN 'Preliminary' ELSE 'Final' END AS "ResultStatusIdentifier",
    result.method_text AS "ResultAnalyticalMethod/MethodIdentifier",
    result.laboratory AS "LaboratoryName",
    coalesce(strftime(result.analyzed_at AT TIME ZONE 'UTC', '%Y-%m-%d'), result.analyzed_on::VARCHAR, '')
        AS "AnalysisStartDate",
    coalesce(strftime(result.analyzed_at AT TIME ZONE 'UTC', '%H:%M:%S'), '') AS "AnalysisStartTime/Time",
    CASE WHEN result.analyzed_at IS NULL THEN '' ELSE 'UTC' END AS "AnalysisStartTime/TimeZoneCode",
    CASE
        WHEN result.value_kind = 'below' OR result.reporting_limit IS NOT NULL THEN 'Reporting limit'
        WHEN result.detection_limit IS NOT NULL THEN 'Method Detection Level'
        ELSE ''
    END AS "DetectionQuantitationLimitTypeName",
    coalesce(rtrim(rtrim(
        CASE
            WHEN result.value_kind = 'below' THEN result.value
            ELSE coalesce(result.reporting_limit, result.detection_limit)
        END::VARCHAR, '0'), '.'), '') AS "DetectionQuantitationLimitMeasure/MeasureValue",
    CASE
        WHEN result.value_kind = 'below' OR coalesce(result.reporting_limit, result.detection_limit) IS NOT NULL
            THEN coalesce(result.unit, '')
        ELSE ''
    END AS "DetectionQuantitationLimitMeasure/MeasureUnitCode"
FROM result_as_of($as_of_event) AS result
ORDER BY result.collected_on, result.result_id
