"""The routes: HTTP on the one side, use cases on the other."""
