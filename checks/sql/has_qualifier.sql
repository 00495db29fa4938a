-- Whether one of the codes stands in a qualifier field, which often holds several.
CREATE OR REPLACE MACRO has_qualifier(qualifiers, codes) AS
    qualifiers <> '' AND list_has_any(regexp_split_to_array(upper(qualifiers), '[^A-Z0-9+-]+'), codes)
