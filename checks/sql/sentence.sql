-- A reason as a sentence: a capital at its start, a full stop at its end.
CREATE OR REPLACE MACRO sentence(reason) AS
    upper(left(trim(reason), 1)) || substr(rtrim(trim(reason), '.'), 2) || CASE WHEN right(trim(reason), 1) = '?' THEN '' ELSE '.' END
