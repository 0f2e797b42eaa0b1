"""Six characters that two people can read to each other, from the digest of a release."""

__all__ = ["ALPHABET", "LENGTH", "code_of", "typed_code"]

# Without what is mistaken for something else on tape, by hand or over a radio's noise: 0 O, 1 I L,
# 2 Z, 5 S, 8 B, 6 G, U V. 23^6 is 148 million: two releases of a day share a code once in 148
# million, any two of a thousand kept releases once in about 300. The digest tells those apart.
ALPHABET = "34679ACDEFHJKMNPQRTVWXY"
LENGTH = 6


def code_of(digest: str) -> str:
    """Return the code of a SHA-256 in hexadecimal: its lowest six places to the base 23."""
    number = int(digest, 16)
    letters = []
    for _ in range(LENGTH):
        number, place = divmod(number, len(ALPHABET))
        letters.append(ALPHABET[place])
    return "".join(reversed(letters))


def typed_code(text: str) -> str:
    """Return a code as typed in the form in which it is printed."""
    return "".join(text.split()).replace("-", "").upper()
