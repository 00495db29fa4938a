"""Reports to hand on: what a month found in the finished water, as values and as a workbook."""
