"""Results of one analyte over time, as reported: placed in one unit, counted by year, beside the limits of their days.

Nothing here says in which direction values go: that takes a test of trend, and is another piece of work.
"""
