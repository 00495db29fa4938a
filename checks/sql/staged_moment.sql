-- The moment of loading, and its date at the plant; empty where the load does not say.
CREATE OR REPLACE TABLE staged_moment (loaded_at TIMESTAMPTZ NOT NULL, loaded_on DATE NOT NULL)
