"""Whether each step was taken while the sample was still good."""
