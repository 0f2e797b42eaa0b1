"""A number of things in words."""

__all__ = ["counted"]


def counted(number: int, word: str) -> str:
    """Return "1 item" or "2 items": the word is the one of a single thing."""
    return f"{number:,} {word}" if number == 1 else f"{number:,} {word}s"
