-- What the checks need to know of the plant, beside the staged cells.
CREATE OR REPLACE TABLE plant_analyte (
    analyte VARCHAR NOT NULL, canonical_unit VARCHAR NOT NULL, canonical_basis VARCHAR NOT NULL,
    basis_required BOOLEAN NOT NULL, value_kinds VARCHAR[] NOT NULL, also_accepted_units VARCHAR[] NOT NULL,
    plausible_low DECIMAL(38,15), plausible_high DECIMAL(38,15), censorable BOOLEAN NOT NULL,
    fraction_meaningful BOOLEAN NOT NULL, acute BOOLEAN NOT NULL, cas_number VARCHAR NOT NULL
);
CREATE OR REPLACE TABLE plant_point (
    sample_point VARCHAR NOT NULL, place VARCHAR NOT NULL, disinfected BOOLEAN NOT NULL
);
-- The lowest limit in force that a result at this point has to be able to prove, in the analyte's canonical unit and basis.
CREATE OR REPLACE TABLE limit_to_prove (
    analyte VARCHAR NOT NULL, sample_point VARCHAR NOT NULL, limit_id VARCHAR NOT NULL, canonical_value DECIMAL(38,15) NOT NULL,
    limit_text VARCHAR NOT NULL, effective_from DATE, effective_to DATE
);
