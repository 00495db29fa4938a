-- Whether a text is a CAS registry number: two to seven digits, two digits, and a check digit that is the sum of the
-- other digits, each times its place from the right, modulo ten (Chemical Abstracts Service, check digit verification).
CREATE OR REPLACE MACRO is_cas_number(written) AS
    regexp_full_match(written, '[1-9][0-9]{1,6}-[0-9]{2}-[0-9]')
    AND try_cast(right(written, 1) AS INTEGER) = list_sum(
        list_transform(
            range(1, length(replace(written, '-', ''))),
            lambda place: place * try_cast(substr(reverse(replace(written, '-', '')), place + 1, 1) AS INTEGER)
        )
    ) % 10
