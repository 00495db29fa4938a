-- Nitrate or nitrite alone from a sample preserved with acid, which turns one into the other.
SELECT cell_id
FROM {batch}
WHERE analyte IN ('Nitrate', 'Nitrite')
  AND regexp_matches(upper(preservation_text), 'H2SO4|SULFURIC|SULPHURIC|PH ?< ?2')
