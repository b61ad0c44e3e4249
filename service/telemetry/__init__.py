"""What the service tells of itself to whoever watches over it: metrics and traces."""
