"""The commands, one module a piece of work; each is thin and hands over to the floors below."""
