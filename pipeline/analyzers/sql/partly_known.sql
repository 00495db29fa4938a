-- The store knows something of the days of this part.
CREATE OR REPLACE TEMP VIEW decided AS
FROM decided_part
