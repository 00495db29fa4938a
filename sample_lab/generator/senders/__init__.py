"""The plant's other senders, each with habits of its own, measuring the same water as the first laboratory.

=================  ================================================================================================
``fernholm``       traces; crosstabs with title lines, units below the heading, decimal commas, several blocks a file
``harrowfen``      organisms; workbooks with a sheet a quarter, merged headings, dates as serial numbers
``tarn_basin``     the agency that watches the outfall; the open WQX 3.0 columns
``field_crew``     the plant's own readings at the tap; a crosstab each half year
``telephone``      what a laboratory told before its report
``custody``        which samples were taken, when, by which role, and when each laboratory received them
=================  ================================================================================================
"""
