"""Auditing: a Scenario and a finished Plan in, the rules it breaks out; shares no code with the model."""
