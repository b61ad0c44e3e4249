"""Lengths, masses, money, counts and sizes as text: the only place that rounds."""
