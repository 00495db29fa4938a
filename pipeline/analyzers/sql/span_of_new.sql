-- Between which instants a part brings something new.
SELECT min(read_us), max(read_us) FROM decided WHERE outcome <> 'duplicate'
