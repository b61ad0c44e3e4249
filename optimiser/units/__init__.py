"""Lengths, masses, money and sizes as text: the only place that rounds."""
