"""The edge to files and texts from outside."""
