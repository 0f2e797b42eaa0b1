"""Will hold: the frozen sortie, its canonical form and code, comparison in words."""
