"""The weatherstrip optimiser over HTTP and on the command line."""
