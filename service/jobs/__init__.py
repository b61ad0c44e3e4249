"""Solving orders in processes of their own, which can be stopped at any moment."""
