"""What ``python -m kit`` can do. Each command says one thing a person wants done."""

from pathlib import Path

import click

from kit.errors import KitError

PROBLEMS_SHOWN = 20


class _Stopped(click.ClickException):
    """An error the kit can explain: one line, no traceback."""

    exit_code = 2


class _Kit(click.Group):
    def invoke(self, context: click.Context) -> object:
        try:
            return super().invoke(context)
        except KitError as error:
            raise _Stopped(str(error)) from error


@click.group(cls=_Kit, context_settings={"help_option_names": ["-h", "--help"]})
def kit() -> None:
    """Learn and teach finding electrical faults on 12 V and 24 V small machines.

    Begin with "python -m kit open": it starts the lessons in your browser. Nothing leaves your computer.
    """


@kit.command("open")
@click.option("--no-browser", is_flag=True, help="Start, but leave it to you to open the address it prints.")
@click.option("--port", type=click.IntRange(1, 65535), help="Use this port instead of the next free one.")
@click.argument("more", nargs=-1, type=click.UNPROCESSED)
def open_lessons(no_browser: bool, port: int | None, more: tuple[str, ...]) -> None:
    """Open the lessons in JupyterLab.

    Your work is kept in the folder "my-work" beside the lessons. Put a name for yourself, not your real one, in the
    file "learner.txt" there. To stop, press Ctrl-C here twice.

    What follows "--" is handed to JupyterLab as it is.
    """
    from kit.cli.lab import find_lessons, plan, run

    run(plan(find_lessons(), browser=not no_browser, port=port, more=more))


@kit.command("mark")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="Where the marks go; made if missing.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
@click.pass_context
def mark(context: click.Context, folder: Path, out: Path, quiet: bool) -> None:
    """Mark every learner's record in a folder.

    FOLDER may have subfolders, and a learner several files.
    Every mark is worked out again from the answers and acts; nothing a learner wrote is run. Into OUT go marks.csv (a
    line for each learner and question), totals.csv, problems.csv, index.html and a page for each learner.

    Ends with status 0 when all could be marked, 1 when something had to be left out (it says what), 2 when nothing
    could be done.
    """
    from kit.cli.progress import bar
    from kit.marking import mark_folder, plain_name, write_pages, write_tables

    with bar(quiet=quiet) as progress:
        book = mark_folder(folder, progress)
    write_tables(book, out)
    write_pages(book, out)
    number = len(book.learners)
    click.echo(f"{number} learner{'' if number == 1 else 's'} marked. Open {out / 'index.html'} to see how they did.")
    if book.troubles:
        click.echo(f"{len(book.troubles)} to look at; all of it is in {out / 'problems.csv'}:")
        for trouble in book.troubles[:PROBLEMS_SHOWN]:
            click.echo(f"  {trouble.file or plain_name(trouble.learner)}: {trouble.text}")
        if len(book.troubles) > PROBLEMS_SHOWN:
            click.echo(f"  … and {len(book.troubles) - PROBLEMS_SHOWN} more.")
        context.exit(1)


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


def main() -> None:
    """Run the command line; ends the process with a status."""
    kit(prog_name="python -m kit")
