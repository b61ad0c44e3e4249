"""The page at `/` to try the service: HTML, a style sheet and scripts, which call the API alone."""
