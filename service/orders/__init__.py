"""Racks and orders that the service keeps: what may be done with them, and what comes of it."""
