"""Builders: a plan, a quote or a study becomes a publication."""
