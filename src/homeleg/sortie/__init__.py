"""One intended flight, resolved, and the draws of its members."""
