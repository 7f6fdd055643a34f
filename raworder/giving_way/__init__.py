"""What may give way: every kind of rule that could be loosened, and the smallest change that opens a plan."""
