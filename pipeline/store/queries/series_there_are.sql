-- Which analytes have results in force at which sample points, quality control left out, with number and days.
SELECT analyte, sample_point, count(*) AS results, min(collected_on) AS first, max(collected_on) AS last
FROM result_as_of($as_of_event)
WHERE purpose <> 'quality control'
GROUP BY analyte, sample_point
ORDER BY analyte, sample_point
