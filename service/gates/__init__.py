"""What a request passes between the front and its route: admission, limits, at most once."""
