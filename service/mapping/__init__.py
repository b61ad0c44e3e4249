"""Between the wire and the domain: read an order, write a plan."""
