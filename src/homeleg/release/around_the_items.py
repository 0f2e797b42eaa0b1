"""What two routes differ in around their items: launch point, boundary, diversion points."""

from collections.abc import Iterator, Sequence

from homeleg.release.difference import (
    Danger,
    Difference,
    distance_m,
    is_rounded_degree,
    is_rounded_height,
    unlike,
)
from homeleg.release.plain_route import Aspect, PlainBoundary, PlainPlace, PlainRoute
from homeleg.release.read_aloud import height_words, position_words

__all__ = ["LAUNCH_WITHIN_M", "of_the_boundary", "of_the_diversions", "of_the_launch"]

LAUNCH_WITHIN_M, _LAUNCH_HEIGHT_WITHIN_M = 10.0, 5.0


def of_the_launch(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    """Return what the launch point differs in, beyond what setting it again each day makes."""
    right, got = released.launch_point, found.launch_point
    if right is None or got is None:
        return
    off_m = distance_m(right, got)
    if off_m > LAUNCH_WITHIN_M:
        yield unlike(
            Danger.LAUNCH_MOVED,
            f"The launch point is {off_m:.0f} m from the one released.",
            aspect=Aspect.LAUNCH_POINT,
            what="Launch point",
            pair=tuple(position_words(one.latitude_deg, one.longitude_deg) for one in (right, got)),
            then=f"It would come home {off_m:.0f} m from where you stand.",
        )
    if right.height is None or got.height is None:
        return
    pair = (height_words(right.height), height_words(got.height))
    if right.height.above is not got.height.above:
        yield unlike(
            Danger.HEIGHT_REFERENCE,
            f"The launch point is given {got.height.above.value}: its height is not proven.",
            aspect=Aspect.LAUNCH_POINT,
            what="Height of the launch point",
            pair=pair,
            then="Heights above launch are not proven.",
        )
    elif abs(got.height.value_m - right.height.value_m) > _LAUNCH_HEIGHT_WITHIN_M:
        off = got.height.value_m - right.height.value_m
        side = "lower" if off < 0.0 else "higher"
        yield unlike(
            Danger.LAUNCH_MOVED,
            f"The launch point is at {pair[1]} instead of {pair[0]}.",
            aspect=Aspect.LAUNCH_POINT,
            what="Height of the launch point",
            pair=pair,
            then=f"Every height above launch would be {abs(off):.0f} m {side}.",
        )


def of_the_boundary(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    """Return what the boundary differs in: outline, or top."""
    right, got = released.boundary, found.boundary
    if Aspect.BOUNDARY in found.untold or (right is None and got is None):
        return
    if right is None or got is None:
        words = "The boundary is not there." if got is None else "A boundary was not released."
    elif not _is_same_outline(right, got):
        words = f"The boundary is another one, of {len(got.corners_deg)} corners."
    elif not _is_same_top(right, got):
        tops = ["none" if one.top is None else height_words(one.top) for one in (right, got)]
        yield unlike(
            Danger.BOUNDARY,
            f"The top of the boundary: {tops[1]} instead of {tops[0]}.",
            aspect=Aspect.BOUNDARY,
            what="Top of the boundary",
            pair=tuple(tops),
            then="It would be turned back at another height than was checked.",
        )
        return
    else:
        return
    corners = ["none" if one is None else f"{len(one.corners_deg)} corners" for one in (right, got)]
    yield unlike(
        Danger.BOUNDARY,
        words,
        aspect=Aspect.BOUNDARY,
        what="Boundary",
        pair=tuple(corners),
        then="It would be turned back somewhere else, or nowhere.",
    )


def _is_same_outline(right: PlainBoundary, got: PlainBoundary) -> bool:
    """Return whether corner follows corner, wherever the count begins, in either direction."""
    count = len(right.corners_deg)
    if len(got.corners_deg) != count:
        return False
    turned = (got.corners_deg, got.corners_deg[::-1])
    return any(
        all(
            is_rounded_degree(a, b)
            for corner, other in zip(
                right.corners_deg, (*corners[start:], *corners[:start]), strict=True
            )
            for a, b in zip(corner, other, strict=True)
        )
        for corners in turned
        for start in range(max(count, 1))
    )


def _is_same_top(right: PlainBoundary, got: PlainBoundary) -> bool:
    if right.top is None or got.top is None:
        return right.top is got.top
    return right.top.above is got.top.above and is_rounded_height(
        right.top.value_m, got.top.value_m
    )


def of_the_diversions(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    """Return which diversion points are missing, and which were put in."""
    if Aspect.DIVERSIONS in found.untold:
        return
    missing = [place for place in released.diversions if not _is_among(place, found.diversions)]
    added = [place for place in found.diversions if not _is_among(place, released.diversions)]
    for words, places in (("is missing", missing), ("was not released", added)):
        for place in places:
            where = position_words(place.latitude_deg, place.longitude_deg)
            sides = (where, "missing") if words == "is missing" else ("nothing", where)
            yield unlike(
                Danger.BOUNDARY,
                f"The diversion point at {where} {words}.",
                aspect=Aspect.DIVERSIONS,
                what="Diversion point",
                pair=sides,
                then="With its link lost it would fly home another way.",
            )


def _is_among(place: PlainPlace, places: Sequence[PlainPlace]) -> bool:
    return any(
        is_rounded_degree(place.latitude_deg, other.latitude_deg)
        and is_rounded_degree(place.longitude_deg, other.longitude_deg)
        and (
            place.height is other.height
            if place.height is None or other.height is None
            else place.height.above is other.height.above
            and is_rounded_height(place.height.value_m, other.height.value_m)
        )
        for other in places
    )
