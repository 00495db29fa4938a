-- A stored decimal as a person writes it: without the zeros that only fill the fifteen places.
CREATE OR REPLACE MACRO plain_number(number) AS
    CASE
        WHEN contains(number::DECIMAL(38, 15)::VARCHAR, '.')
            THEN rtrim(rtrim(number::DECIMAL(38, 15)::VARCHAR, '0'), '.')
        ELSE number::VARCHAR
    END
