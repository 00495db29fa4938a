"""Makes the files of the fictional Tarnwick Water Laboratory: three years of results, the same bytes for the same seed.

The generator imports nothing of the product that it feeds, so that a misunderstanding in the one cannot hide in the
other. Water is modelled in :mod:`~sample_lab.generator.water`, sampled by :mod:`~sample_lab.generator.schedule`,
measured by :mod:`~sample_lab.generator.laboratory`, spoiled by :mod:`~sample_lab.generator.defects` and written by
:mod:`~sample_lab.generator.files`.
"""
