"""Will hold: paper and figures."""
