"""The command line: a thin face that calls the desk and nothing else."""
