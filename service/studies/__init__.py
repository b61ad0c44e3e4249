"""What-if studies: scenarios and axes over the JSON of an order, and the points they make."""
