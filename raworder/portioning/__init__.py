"""Portioning: an Allocation in, a Plan in whole grams that adds up out."""
