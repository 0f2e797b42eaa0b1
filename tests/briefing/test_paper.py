"""The two pages: complete, alone in the world, the same bytes, and shut where the plan is bad."""

import io
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import typst
from PIL import Image, ImageFilter
from pypdf import PdfReader

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.paper import PaperSize, briefing_pdf
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import LAPTOP, PAPER, PHONE
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.assumptions import Assumption
from homeleg.verdict.cautions import GROUND, WIND, word_caution
from homeleg.verdict.result import Gate, Status, WayHome, WindPoint, WindWindow
from homeleg.verdict.wording import why

SORTIE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"
# ISO 216 A4 is 210 x 297 mm; US Letter 8.5 x 11 in. A point is 1/72 in.
SIZES = {PaperSize.A4: (595.3, 841.9), PaperSize.LETTER: (612.0, 792.0)}


@pytest.fixture
def given(make_verdict: Any, make_ribbon: Any) -> BriefingInput:
    verdict = replace(
        make_verdict(Status.MARGINAL),
        ribbon=make_ribbon(),
        way_home=WayHome(
            worst=None,
            charge=None,
            turn_back=None,
            assumed=(),
            motor_stopped=None,
            glide_edge=None,
        ),
        gates=(
            Gate(
                name="Far point",
                time_s=280.0,
                latest_s=289.0,
                ground_speed_m_s=(25.0, 29.0),
                least_volts=15.7,
                used_ah=0.7,
                most_used_ah=0.829,
            ),
        ),
    )
    return BriefingInput(name="Skarv Moor", verdict=verdict, sortie=read_sortie(SORTIE).sortie)


def _pages(given: BriefingInput, paper: PaperSize = PaperSize.A4) -> list[Any]:
    return list(PdfReader(io.BytesIO(briefing_pdf(given, paper))).pages)


def _text(page: Any) -> str:
    return " ".join(page.extract_text().split())


@pytest.mark.parametrize("paper", list(PaperSize))
def test_two_pages_of_the_paper_asked_for(given: BriefingInput, paper: PaperSize) -> None:
    pages = _pages(given, paper)
    assert len(pages) == 2
    for page in pages:
        size = (float(page.mediabox.width), float(page.mediabox.height))
        assert size == pytest.approx(SIZES[paper], abs=0.1)


def test_first_page_says_it_all(given: BriefingInput) -> None:
    text = _text(_pages(given)[0])
    decides = why(given.verdict)
    for words in (
        "Plan, not released. Skarv Moor",
        "MARGINAL",
        decides[1:],
        given.verdict.summary,
        word_caution(Status.MARGINAL),
        WIND,
        GROUND,
        "Makes headway",
        "want 5.0",
        "2 of 13 still open",
        "5.0 m/s, gusts 6.5 from 225",
        "pilot in command, name and signature",
    ):
        assert "".join(words.split()) in "".join(text.split())


def test_card_holds_gates_and_what_to_do(given: BriefingInput) -> None:
    text = _text(_pages(given)[1])
    # 289 s is 4:49; 0.829 Ah is 829 mAh, told to the ten below.
    for words in ("Far point", "4:49", "25–29", "15.7", "820", "Worse at any gate: turn back."):
        assert words in text
    # As declared in the example: 10 s, climbs first, 85 m above launch, 55 N 5 W.
    assert "After 10 s it climbs first, then comes home straight at 85 m above launch" in text
    assert "55.0000 N 5.0000 W" in text
    assert "55° 00.00' N, 5° 00.00' W" in text


def test_first_page_shows_the_dial_where_a_window_was_computed(given: BriefingInput) -> None:
    points = tuple(
        WindPoint(
            from_true_rad=math.radians(22.5 * k), speed_m_s=speed, status=status, question=None
        )
        for k in range(16)
        for speed, status in ((4.0, Status.GO), (8.0, Status.NO_GO))
    )
    window = WindWindow(height_agl_m=10.0, members=32, points=points)
    verdict = replace(given.verdict, wind_window=window)
    text = _text(_pages(replace(given, verdict=verdict))[0])
    assert "Surface wind it may fly in" in text
    assert "rim 8 m/s at 10 m. GO from every side up to 4.0 m/s" in text
    assert "Surface wind it may fly in" not in _text(_pages(given)[0])


def test_release_carries_code_and_names(given: BriefingInput) -> None:
    released = replace(
        given, released=True, code="7K4QMD", signatures=("Kim Park, pilot", "Ada Roe, observer")
    )
    first, second = (_text(page) for page in _pages(released))
    assert "Release. Skarv Moor" in first
    assert "not released" not in first + second
    assert "7K4 QMD" in first
    assert "7K4 QMD" in second
    assert "Kim Park, pilot" in first
    assert "Ada Roe, observer" in first


def test_a_no_go_gives_no_figures_to_fly_by(given: BriefingInput, make_verdict: Any) -> None:
    no_go = replace(given, verdict=make_verdict(Status.NO_GO))
    assert "This card is not for flying." in _text(_pages(no_go)[1])
    flown = replace(no_go, override="Kim Park flies against NO-GO: a ferry over water, nobody near")
    first, second = (_text(page) for page in _pages(flown))
    assert "Kim Park flies against NO-GO" in first
    assert "not for flying" not in second


def test_same_input_same_bytes(given: BriefingInput) -> None:
    assert briefing_pdf(given) == briefing_pdf(given)


def test_fonts_are_ours_and_embedded(given: BriefingInput) -> None:
    released = replace(given, released=True, code="7K4QMD")
    families = set()
    for page in _pages(released):
        for font in page["/Resources"]["/Font"].values():
            (inner,) = font.get_object()["/DescendantFonts"]
            descriptor = inner.get_object()["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(descriptor)
            families.add(str(inner.get_object()["/BaseFont"]).partition("+")[2])
    assert families == {"ClearSans", "ClearSans-Bold", "B612Mono-Bold"}


def test_much_to_say_still_makes_two_pages(given: BriefingInput) -> None:
    verdict = given.verdict
    limit = replace(verdict.rows[0].limit, changed="want 20 -> 10, by Kim Park, " + "why " * 60)
    crowded = replace(
        verdict,
        rows=verdict.rows + (replace(verdict.rows[0], limit=limit),) * 6,
        gates=verdict.gates * 10,
        assumptions=tuple(
            Assumption(
                key=f"a_long_key_of_an_input_{k}", value=1.0, sd=0.1, unit="m", basis="assumed"
            )
            for k in range(60)
        ),
    )
    assert len(_pages(replace(given, verdict=crowded, place="at the gate " * 60))) == 2


@pytest.mark.parametrize("form", [LAPTOP, PHONE, PAPER])
@pytest.mark.parametrize("palette", [BUFF, BLACK_ON_WHITE])
def test_a_bad_plan_looks_shut_blurred_and_in_grey(
    make_ribbon: Any, form: Any, palette: Any
) -> None:
    # At 600 s, by hand: 8 in 10 have 0.55 to 0.85 of a pack left; they need 0.175 to 0.3 where the
    # plan is good, 0.175 to 0.55 where it is bad. Blurred by nine pixels, is white left between?
    brightest = {}
    for need in (0.4, 0.9):
        svg = ribbon_figure(make_ribbon(need), None, ChargeUnit.MAH, form, palette)
        grey = _rendered(svg, form.width)
        left, right = form.left, form.width - form.right
        high, low = form.top, form.height - form.bottom
        inside = slice(
            round(low - 0.85 * (low - high)) + 12, round(low - 0.175 * (low - high)) - 12
        )
        brightest[need] = int(grey[inside, round(left + 0.6 * (right - left))].max())
    assert brightest[0.4] > 230
    assert brightest[0.9] < 200


def _rendered(svg: str, width: float) -> Any:
    """Return the figure in grey, one pixel a unit, blurred by nine pixels."""
    source = (
        "#set page(width: auto, height: auto, margin: 0pt)\n"
        f'#image(bytes(sys.inputs.svg), format: "svg", width: {width}pt)'
    )
    png = typst.compile(source.encode(), sys_inputs={"svg": svg}, format="png", ppi=72.0)
    assert isinstance(png, bytes)
    grey = Image.open(io.BytesIO(png)).convert("L").filter(ImageFilter.GaussianBlur(4.5))
    return np.asarray(grey)


def test_no_role_is_printed_that_nobody_told(given: BriefingInput) -> None:
    signed = replace(given, released=True, code="KDYDNY", signatures=("Kim",))
    text = "".join(_text(_pages(signed)[0]).split())
    assert "Kim" in text
    assert "pilotincommand,name" not in text
