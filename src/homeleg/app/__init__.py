"""Will hold: the screens, on the loopback address only."""
