"""The book of the kitchen: one SQLite file that is only added to."""
