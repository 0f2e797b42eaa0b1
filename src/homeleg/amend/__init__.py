"""Will hold: the smallest change that reaches GO."""
