-- The store knows nothing of the days of this part.
CREATE OR REPLACE TEMP VIEW decided AS
SELECT *, 'new' AS outcome FROM part
