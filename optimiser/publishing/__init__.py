"""Documents that people read: builders make publications of plans, forms write them."""
