"""What is due: the schedule of the monitoring plan against the samples taken and the results reported.

Calculates only: plan, samples, results and a day in; what is due out. No file, no store, no clock.
"""
