"""Reading: text with places in, a checked Scenario or findings out."""
