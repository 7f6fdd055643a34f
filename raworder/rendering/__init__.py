"""Rendering: a Document in, text out; how it looks."""
