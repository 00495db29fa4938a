-- Every text that should be a plain number, once.
CREATE OR REPLACE TABLE written_number AS
SELECT uncertainty_text AS text FROM written_cell
UNION SELECT receipt_temperature_text FROM written_cell
UNION SELECT dilution_text FROM wording
UNION SELECT revision_text FROM wording
