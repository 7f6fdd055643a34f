"""Studies: questions that need many plans, each answered with a Document."""
