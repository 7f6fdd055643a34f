"""Reporting: a Plan in, Documents of plain numbers out; what is said."""
