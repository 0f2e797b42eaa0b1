"""The error tree: what the program says when it cannot go on."""

from dataclasses import dataclass


class HomelegError(Exception):
    """Base of everything the program raises on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong with an input: where, what, and what would be right."""

    where: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.where}: {self.problem}\n  {self.remedy}"


class InputFileError(HomelegError):
    """A file cannot be used; holds all its problems at once.

    Parameters
    ----------
    problems
        At least one problem, in the order of the file.
    """

    def __init__(self, problems: list[Problem]) -> None:
        if not problems:
            raise ValueError("an InputFileError needs at least one problem")
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in problems))


class RefusedError(HomelegError):
    """The inputs are well formed, and what was asked is refused all the same.

    Parameters
    ----------
    problems
        At least one reason, each with what would have to change.
    """

    def __init__(self, problems: list[Problem]) -> None:
        if not problems:
            raise ValueError("a RefusedError needs at least one reason")
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in problems))


class OutOfModelError(HomelegError):
    """The inputs are well formed but the model does not cover them."""


class DataMissingError(HomelegError):
    """An answer was asked that needs data which is not there."""


class LinkError(HomelegError):
    """The telemetry link failed."""


class LoadFailedError(LinkError):
    """A load was begun and did not come to its end.

    Parameters
    ----------
    why
        What happened, in a sentence.
    held
        What the aircraft may hold now, a phrase for each plan.
    is_read_back
        Whether that was read from it since, and not concluded from what was said.
    """

    def __init__(self, why: str, held: tuple[str, ...], *, is_read_back: bool) -> None:
        self.why, self.held, self.is_read_back = why, held, is_read_back
        known = "Read back just now, it holds" if is_read_back else "Not read back, it may hold"
        super().__init__(
            f"{why} {known}: {'; '.join(held)}. Once it stands disarmed, load it again; or fetch "
            "before flight: homeleg link compare."
        )

    @property
    def is_as_released(self) -> bool:
        """Whether every plan was read back as the released one: then there is only to compare."""
        return self.is_read_back and all(one.endswith(" as released") for one in self.held)
