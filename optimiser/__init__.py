"""Takeoff, purchase program and explained purchase plan for metal weatherstrip."""
