"""Nourishing: what was fed in, what it holds out, beside what is published."""
