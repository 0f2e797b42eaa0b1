"""What a pilot can change at the field so that the verdict becomes better, and at which price."""
