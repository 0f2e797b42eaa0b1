"""When to measure is the act that mends a row, and when it is not."""

from types import SimpleNamespace

import numpy as np
import pytest

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.judging import judge_values
from homeleg.verdict.limits import Limit, Reading, RowKind, Sense

STRIP = Limit(
    slug="in.distance",
    question=None,
    title="Strip needed",
    kind=RowKind.FLOWN,
    unit="%",
    sense=Sense.AT_MOST,
    reading=Reading.ADVERSE,
    want=100.0,
    hard=110.0,
    physical=None,
    extra={},
    source="made for this test",
)


@pytest.mark.parametrize(
    ("middle", "act"),
    # Wanted: at most 100, the spread 12. Where the middle flight needs 104, more than a third of
    # the flights have enough, and to know the drag may show it; where it needs 119, one in 18 has,
    # and no measurement makes the strip longer.
    [
        (95.0, "measure zero lift drag"),
        (104.0, "measure zero lift drag"),
        (119.0, "land where 120 m are free"),
    ],
)
def test_a_measurement_is_named_only_where_it_may_mend(middle: float, act: str) -> None:
    z = np.random.default_rng(1).standard_normal(1000)
    drag = Estimate(value=0.04, sd=0.008, basis=Basis.ASSUMED)
    evidence = SimpleNamespace(
        flown=SimpleNamespace(draws=SimpleNamespace(members=1000, normal={"zero_lift_drag": z})),
        resolved=SimpleNamespace(inputs={"zero_lift_drag": drag}),
    )
    values = middle + 12.0 * z
    row = judge_values(STRIP, values, cause="strip", act="land where 120 m are free")
    judged = Evidence._blaming_assumptions(evidence, row, values)  # type: ignore[arg-type]
    assert judged.status is not row.status.GO
    assert judged.act is not None
    assert judged.act.startswith(act)
