"""The models of the wire: what a request may hold and what an answer holds, with their schema."""
