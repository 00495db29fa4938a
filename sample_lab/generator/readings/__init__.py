"""Readings of the plant's analyzers, made in columns with polars: the same numbers for the same seed on every machine.

Levels come from the same daily waters and spells from which the laboratory's samples are made, so that an analyzer and
a grab sample at its side agree as well as they would in a plant. Chance comes from hashes of the minute and
the tag (:mod:`~sample_lab.generator.readings.chance`), levels from :mod:`~sample_lab.generator.readings.levels`, what
goes wrong from :mod:`~sample_lab.generator.readings.troubles`, files from
:mod:`~sample_lab.generator.readings.historian`.
"""
