"""The expectations, one class a rule, named for what they expect of a cell."""
