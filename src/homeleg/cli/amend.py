"""`homeleg amend`: the one change that makes the verdict better, and what it costs."""

from datetime import UTC, datetime
from pathlib import Path

import click

from homeleg.cli.answering import EXIT_BY_WORD, answer_files, is_said, json_option, quick_option
from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.streams import answer


@click.command()
@click.argument("sortie", type=click.Path(path_type=Path))
@click.option("--apply", "is_applied", is_flag=True, help="Write the change into the files.")
@quick_option
@json_option
@click.pass_context
def amend(
    context: click.Context,
    /,
    *,
    sortie: Path,
    is_applied: bool,
    quick: bool,
    json_target: Path | None,
) -> None:
    """Find the smallest change of the SORTIE that reaches GO; its files stay as they are.

    What it proposes was flown in full by the same judge. Exit status: the word of what it proposes,
    else of the sortie as it is: 0 GO, 3 MARGINAL, 4 NO-GO; 2 bad input or usage, 1 a fault of the
    program.
    """
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.amend import amend_answer_json, amend_sortie, apply_proposal

        amended = amend_sortie(
            sortie, quick=quick, answer_files=answer_files(json_target), progress=progress
        )
    proposal = amended.proposal
    applied = is_applied and proposal is not None
    if applied and proposal is not None:
        apply_proposal(sortie, proposal)
    document = amend_answer_json(amended, given_at=datetime.now(UTC), applied=applied)
    if is_said(json_target):
        from homeleg.cli.amend_text import amend_text

        say(amend_text(amended, sortie, applied=applied))
        if json_target is not None:
            from homeleg.formats.text_file import write_text

            write_text(json_target, document)
    else:
        answer(document)
    word = amended.check.verdict.word if proposal is None else proposal.after.word
    context.exit(EXIT_BY_WORD[word.value])
