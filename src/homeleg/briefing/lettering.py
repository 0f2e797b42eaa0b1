"""How wide words are set, so that labels can be placed without meeting."""

from typing import Literal

__all__ = ["FAMILY", "Weight", "text_width"]

Weight = Literal["regular", "bold"]

FAMILY = "Clear Sans"
_UNITS_PER_EM = 2048
_SIGNS = "".join(chr(code) for code in range(32, 127)) + "–°≥≤±→·×−…"
# Advance widths of the signs above: the `hmtx` tables of the two shipped font files.
_TABLES: dict[Weight, str] = {
    "regular": """
        553 555 924 1446 1264 2089 1425 557 797 797 948 1427 555 827 555 991 1264 1264 1188 1188
        1264 1188 1188 1264 1188 1188 555 555 1427 1427 1427 1049 1935 1288 1272 1321 1292 1153
        1108 1391 1364 770 885 1264 1038 1593 1386 1364 1182 1364 1237 1227 1184 1405 1225 1757
        1208 1147 1163 805 991 805 1243 1024 1085 1100 1174 1030 1174 1081 633 1174 1163 512 537
        1049 528 1712 1163 1157 1174 1174 811 991 729 1163 1008 1475 1012 1040 934 977 852 977
        1427 1085 864 1427 1427 1427 2048 555 1427 1427 2109
    """,
    "bold": """
        492 584 977 1405 1280 2163 1417 549 856 856 911 1427 584 786 584 1036 1280 1280 1204 1204
        1280 1204 1204 1280 1204 1204 584 584 1427 1427 1427 1071 1950 1337 1298 1333 1313 1149
        1104 1415 1409 872 924 1280 1038 1667 1411 1364 1239 1364 1284 1229 1204 1438 1243 1833
        1286 1188 1147 764 1036 764 1300 1024 1044 1139 1217 1059 1217 1143 659 1217 1217 549 563
        1100 549 1790 1217 1190 1217 1217 840 1026 739 1217 1040 1565 1079 1085 930 915 801 915
        1386 1044 868 1427 1427 1427 2048 584 1427 1427 2068
    """,
}
_WIDTHS = {
    weight: dict(zip(_SIGNS, map(int, table.split()), strict=True))
    for weight, table in _TABLES.items()
}
_UNKNOWN = _WIDTHS["bold"]["W"]


def text_width(words: str, size: float, weight: Weight = "regular") -> float:
    """Return the set width of words, in the unit of `size`; a sign not listed counts as a W."""
    widths = _WIDTHS[weight]
    return sum(widths.get(sign, _UNKNOWN) for sign in words) * size / _UNITS_PER_EM
