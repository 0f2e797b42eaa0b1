# ruff: noqa: INP001
"""Cut the faces down for the pages that go onto a phone: European Latin and a few signs.

Run once after a face in `src/homeleg/briefing/fonts` has changed; a test holds the results to the
whole faces. Needs fontTools.
"""

from pathlib import Path

from fontTools import subset

FONTS = Path(__file__).parents[1] / "src" / "homeleg" / "briefing" / "fonts"
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180), *map(ord, "–—‘’“”…≤≥→−")]
CODE = [ord(sign) for sign in " 0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"]


def main() -> None:
    """Write a WOFF of each face beside it."""
    for name, signs in (
        ("ClearSans-Regular.ttf", LATIN),
        ("ClearSans-Bold.ttf", LATIN),
        ("B612Mono-Bold.otf", CODE),
    ):
        options = subset.Options(flavor="woff", hinting=False, layout_features=["kern"])
        face = subset.load_font(str(FONTS / name), options)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=signs)
        cutter.subset(face)
        subset.save_font(face, str((FONTS / name).with_suffix(".woff")), options)


if __name__ == "__main__":
    main()
