"""Will hold: the logbook database."""
