-- Results in force of one analyte at some sample points between two days, oldest first. A chart of limited size draws of
-- a long series the lowest and the highest of each stretch, so that no extreme is lost; quality control is never drawn.
WITH said AS (
    SELECT load_id, cell_id, event_id, string_agg(message, ' ' ORDER BY rule_id) AS findings
    FROM finding
    GROUP BY load_id, cell_id, event_id
),
chosen AS (
    SELECT *, purpose = 'quality control' AS beside, coalesce(canonical_value, canonical_reporting_limit, value) AS size
    FROM result_as_of($as_of_event)
    WHERE analyte = $analyte
        AND list_contains($sample_points, sample_point)
        AND collected_on BETWEEN coalesce($first, DATE '0001-01-01') AND $last
),
-- The stretches of each line of the chart: half as many as it may have points, for each gives two.
stretched AS (
    SELECT
        *,
        count(*) FILTER (NOT beside) OVER () AS number,
        (row_number() OVER line - 1) * greatest(1, $most * count(*) OVER whole_line // (2 * count(*) OVER of_kind))
            // count(*) OVER whole_line AS stretch
    FROM chosen
    WINDOW
        line AS (PARTITION BY beside, sample_point, fraction ORDER BY collected_on, collected_at, result_id),
        whole_line AS (PARTITION BY beside, sample_point, fraction),
        of_kind AS (PARTITION BY beside)
)
SELECT
    result.result_id, result.sample_point, result.fraction, result.collected_on, result.collected_at,
    result.value_kind AS kind, result.value_text, result.value, coalesce(result.unit, '') AS unit, result.basis,
    result.detection_limit, result.reporting_limit, result.qualifier_text AS qualifier, result.sample_text AS sample,
    result.laboratory, result.method_text AS method, result.purpose, result.status, result.reportable,
    coalesce(said.findings, '') AS findings, load.file_name AS file, result.line, result.column_name AS "column",
    NOT result.beside AND (
        result.number <= $most
        OR row_number() OVER (in_stretch ORDER BY result.size, result.result_id) = 1
        OR row_number() OVER (in_stretch ORDER BY result.size DESC, result.result_id) = 1
    ) AS drawn
FROM stretched AS result
JOIN load ON load.load_id = result.load_id
LEFT JOIN said
    ON said.load_id = result.load_id AND said.cell_id = result.cell_id AND said.event_id = result.event_id
WINDOW in_stretch AS (PARTITION BY result.beside, result.sample_point, result.fraction, result.stretch)
ORDER BY result.collected_on, result.collected_at, result.result_id
