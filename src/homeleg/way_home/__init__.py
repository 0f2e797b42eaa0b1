"""Link lost, from every second: the straight way home."""
