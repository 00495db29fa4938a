-- Results that began or stopped to count with an event.
SELECT
    CASE WHEN in_force.from_event = $event_id THEN 'counts' ELSE 'no longer counts' END AS change,
    result.result_id, result.key_id, result.sample_point, result.analyte, result.fraction, result.collected_on,
    result.value_text, coalesce(result.unit, '') AS unit, result.basis, result.status, load.file_name, result.line,
    result.column_name, result.load_id
FROM in_force
JOIN result USING (result_id)
JOIN load ON load.load_id = result.load_id
WHERE in_force.from_event = $event_id OR in_force.to_event = $event_id
ORDER BY result.analyte, result.sample_point, result.collected_on, result.key_id, change DESC
