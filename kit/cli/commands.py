"""What ``python -m kit`` can do. Each command says one thing a person wants done."""

import os
from pathlib import Path
from typing import ClassVar

import click

from kit.cli.desk import COMMANDS
from kit.cli.groups import Listed
from kit.cli.printing import print_group
from kit.errors import KitError

PROBLEMS_SHOWN = 20
# Each process works out its own tables of the machines on the job cards, some hundred MB for all six.
MOST_JOBS = 4


class _Stopped(click.ClickException):
    """An error the kit can explain: one line, no traceback."""

    exit_code = 2


class _Kit(Listed):
    headings: ClassVar = {
        "For learners": ("open", "hand-in"),
        "For instructors": ("print", "operate", "observe"),
        "A machine of your own": ("example", "check", "schema"),
        "For assessors": ("mark", "rubric", "demo", "pack", "sample", "agree", "appeal", "export", "erase"),
    }

    def invoke(self, context: click.Context) -> object:
        try:
            return super().invoke(context)
        except KitError as error:
            raise _Stopped(str(error)) from error


@click.group(cls=_Kit, context_settings={"help_option_names": ["-h", "--help"]})
def kit() -> None:
    """Learn and teach finding electrical faults on 12 V and 24 V small machines.

    Begin with "python -m kit open": it starts the lessons in your browser; for an instructor, "python -m kit open
    --guide". "python -m kit mark --help" tells more of "mark", and so on. Nothing leaves your computer.

    A command ends with status 0 when all is well, 1 when something wants looking at (it says what), 2 when it could not
    be done.
    """


@kit.command("open")
@click.option("--no-browser", is_flag=True, help="Start, but leave it to you to open the address it prints.")
@click.option("--port", type=click.IntRange(1, 65535), help="Use this port instead of the next free one.")
@click.option("--guide", is_flag=True, help="Open the instructor's guide and the solved lessons instead.")
@click.argument("more", nargs=-1, type=click.UNPROCESSED)
def open_lessons(no_browser: bool, port: int | None, guide: bool, more: tuple[str, ...]) -> None:
    """Open the lessons in JupyterLab.

    Your work is kept in the folder "my-work" beside the lessons. Put a name for yourself, not your real one, in the
    file "learner.txt" there. To stop, press Ctrl-C here twice.

    What follows "--" is handed to JupyterLab as it is.
    """
    from kit.cli.lab import find_lessons, plan, run

    run(plan(find_lessons(), guide=guide, browser=not no_browser, port=port, more=more))


@kit.command("hand-in")
@click.option("--learner", default="", metavar="NAME", help="Whose work; without it, the name on the start page.")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False),
              help="The zip to write; without it hand-in-NAME.zip where you are.")
def hand_in(learner: str, out: Path | None) -> None:
    """Put your work into one zip, to give to your instructor.

    Your work stays where it is, and you can go on and hand in again: nothing counts twice.
    """
    from kit.cli.lab import find_lessons, work_folder
    from kit.records.handing_in import hand_in as put_together
    from kit.records.places import DEFAULT_LEARNER

    made = put_together(work_folder(find_lessons()), out, learner)
    files = "1 file" if made.records == 1 else f"{made.records} files"
    click.echo(f"{made.path.resolve()} holds {files} of {made.learner}'s work: give it to your instructor.")
    if made.others:
        click.echo(f"Left out is the work of {', '.join(made.others)}; --learner NAME hands that in.")
    if made.learner == DEFAULT_LEARNER:
        click.echo(f"'{DEFAULT_LEARNER}' is everybody's name; in a class, type your own on the start page first.")


@kit.command("mark")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path, file_okay=False),
              help="The folder the marks go into; made if missing.")
@click.option("--rubric", type=click.Path(path_type=Path), help="What counts how much; see \"kit rubric\".")
@click.option("--by-hand", multiple=True, type=click.Path(path_type=Path),
              help="A table of marks people gave, or of what was seen in practicals; may be given again. OUT's own "
                   "by-hand.csv always counts.")
@click.option("--adjustments", type=click.Path(path_type=Path),
              help="A table with learner, code (time, attempts, reader, format), amount, about.")
@click.option("--course", default="", help="Mark this course alone; without it, the one most records are of.")
@click.option("--brief", is_flag=True, help="Do not explain the work on job cards line by line; much faster.")
@click.option("--jobs", type=click.IntRange(1, 256), default=lambda: min(os.cpu_count() or 1, MOST_JOBS),
              show_default=f"one for each processor, {MOST_JOBS} at most",
              help="So many processes at most, where it pays; any number gives the same marks.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
@click.pass_context
def mark(
    context: click.Context, folder: Path, out: Path, rubric: Path | None, by_hand: tuple[Path, ...],
    adjustments: Path | None, course: str, brief: bool, jobs: int, quiet: bool,
) -> None:
    """Mark every learner's record in a folder.

    FOLDER may have subfolders and zips, and a learner several files; it may be one zip or one record, too.
    Every mark is worked out again from the answers and acts; nothing a learner wrote is run. Into OUT go marks.csv (a
    line for each learner and question), totals.csv, problems.csv, all three as marks.xlsx, index.html and a page for
    each learner, audit.jsonl (what each mark rests on), and by-hand.csv: what a person has to mark. Fill in points and
    your name there and mark again. A marking that was ended before its time goes on where it was.

    Ends with status 0 when all could be marked, 1 when something had to be left out (it says what), 2 when nothing
    could be done.
    """
    from kit.cli.progress import bar
    from kit.marking import (
        default_rubric,
        forget_state,
        mark_folder,
        plain_name,
        read_rubric,
        write_audit,
        write_pages,
        write_sheet,
        write_tables,
        write_workbook,
    )

    rules = read_rubric(rubric) if rubric else default_rubric()
    own = out / "by-hand.csv"
    with bar(quiet=quiet) as progress:
        book = mark_folder(
            folder, progress, rubric=rules, by_hand=(*([own] if own.is_file() else []), *by_hand),
            adjustments=adjustments, course=course, jobs=jobs, out=out, stories=not brief,
        )
    write_sheet(book, out)
    write_tables(book, out)
    write_workbook(book, out)
    write_audit(book, rules, out)
    write_pages(book, out, rules)
    forget_state(book)
    number = len(book.learners)
    click.echo(f"{number} learner{'' if number == 1 else 's'} marked. Open {out / 'index.html'} to see how they did.")
    if book.troubles:
        click.echo(f"{len(book.troubles)} to look at; all of it is in {out / 'problems.csv'}:")
        for trouble in book.troubles[:PROBLEMS_SHOWN]:
            said = trouble.text.startswith(f"line {trouble.line}")
            line = f" line {trouble.line}" if trouble.file and trouble.line and not said else ""
            click.echo(f"  {trouble.file or plain_name(trouble.learner)}{line}: {trouble.text}")
        if len(book.troubles) > PROBLEMS_SHOWN:
            click.echo(f"  … and {len(book.troubles) - PROBLEMS_SHOWN} more.")
        context.exit(1)


@kit.command("demo")
@click.argument("out", type=click.Path(path_type=Path, file_okay=False))
@click.option("--whole", is_flag=True, help="The whole course, which takes about a quarter of an hour.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
def demo(out: Path, whole: bool, quiet: bool) -> None:
    """Let an invented class of thirty answer lessons 00 to 10, mark it, and show the report.

    They have differing ideas, are sure of differing things and work in differing ways; one copies. Their records go
    into OUT/handed-in, their marks into OUT/marks; look there at what marking gives before you mark your own class.
    """
    from kit.cli.demonstration import FIRST_HALF, demonstrate
    from kit.cli.progress import bar

    with bar(quiet=quiet) as progress:
        shown = demonstrate(out, progress, lessons=() if whole else FIRST_HALF)
    believing = sum(bool(one.ideas) for one in shown.learners)
    click.echo(f"{len(shown.learners)} invented learners, {believing} of them with an idea to be found, are marked.")
    click.echo(f"Open {shown.page.resolve()}")
    click.echo(f"To mark them again yourself: python -m kit mark {out / 'handed-in'} --out {out / 'marks-again'}")


@kit.command("rubric")
def rubric() -> None:
    """Print the rubric that marking uses, with every line explained, to make your own from.

    For example: python -m kit rubric > our-rubric.toml. What you leave out of yours stays as it is here.
    """
    from kit.marking.rubric import DEFAULT

    click.echo(DEFAULT.read_text(encoding="utf-8"), nl=False)


@kit.command("operate")
@click.argument("machine")
@click.argument("positions", nargs=-1, metavar="[CONTROL=POSITION]...")
@click.option("--fault", "faults", multiple=True, help="Plant a fault, such as \"F1 blown\"; may be given again.")
def operate(machine: str, positions: tuple[str, ...], faults: tuple[str, ...]) -> None:
    """Operate a machine: what a person sees, and its volts.

    For example: python -m kit operate orchard-bike key=on --fault "F1 blown". Controls that are not named stay at rest.
    Volts are against the battery's minus post; "floats" means joined to neither post.
    """
    from kit.cli.operating import report

    for line in report(machine, positions, faults):
        click.echo(line)


@kit.command("observe")
@click.argument("machine")
@click.argument("positions", nargs=-1, metavar="[CONTROL=POSITION]...")
@click.option("--fault", "faults", multiple=True, help="Plant a fault, such as \"F1 blown\"; may be given again.")
@click.option("--all", "every", is_flag=True, help="Show the readings that do not differ as well.")
def observe(machine: str, positions: tuple[str, ...], faults: tuple[str, ...], every: bool) -> None:
    """Start a machine step by step: what a person sees, hears and measures.

    For example: python -m kit observe orchard-bike --fault "B1 stuck open". Each step of a start is tried, the ways it
    must refuse too, on a healthy machine and on the faulty one; readings that differ are marked "<". With controls
    named (key=on) only that one is tried.
    """
    from kit.cli.observing import report

    for line in report(machine, positions, faults, every=every):
        click.echo(line)


@kit.command("check")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--out", type=click.Path(path_type=Path, file_okay=False),
              help="A folder to keep the drawings and a page with all of it in.")
@click.option("--quick", is_flag=True, help="Leave out which faults look alike, which takes longest.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
@click.pass_context
def check(context: click.Context, file: Path, out: Path | None, quick: bool, quiet: bool) -> None:
    """Check a machine file: is it sound, what does the machine do, can its faults be told apart?

    Names every mistake it can find with its line and what to do. Of a sound machine it tells what a person notices in
    each position of the controls, whether it keeps the limits of voltage drop, whether the tests of its cases decide,
    which faults look alike whatever is tested, and which test points no fault needs; and it draws it.

    Ends with status 0 when all is well, 1 when the machine works and something wants mending (a case that does not
    decide, say), 2 when the file is not sound.
    """
    from kit.cli.checking import as_lines
    from kit.cli.checking import check as examine
    from kit.cli.progress import bar

    amiss = 0
    for found in examine(file, lambda: bar(quiet=quiet), quick=quick, out=out):
        for line in as_lines(found):
            click.echo(line)
        amiss += found.amiss
        if found.unread:
            context.exit(2)
    if amiss:
        click.echo(f"{amiss} thing{'' if amiss == 1 else 's'} to mend.")
        context.exit(1)


@kit.command("example")
def example() -> None:
    """Print a small machine file with every section explained, to begin your own with.

    For example: python -m kit example > my-machine.yaml. It is a whole machine that works as it is: check it, then
    change it bit by bit into yours, and check it again after each change.
    """
    from kit.machines.library import EXAMPLE

    click.echo(EXAMPLE.read_text(encoding="utf-8"), nl=False)


@kit.command("schema")
def schema() -> None:
    """Print what a machine file may hold, as a JSON Schema for editors.

    For example: python -m kit schema > machine-file.schema.json. An editor that knows YAML and JSON Schema then
    completes names, shows what each is for, and marks slips as you type; the example's first line points to that file.
    """
    from kit.machines.schema import FILE

    click.echo(FILE.read_text(encoding="utf-8"), nl=False)


for each in (*COMMANDS, print_group):
    kit.add_command(each)


def main() -> None:
    """Run the command line; ends the process with a status."""
    kit(prog_name="python -m kit")
