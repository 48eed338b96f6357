"""``python -m kit print``: what can be put on paper, each a command of its own."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kit.cli.groups import Listed

if TYPE_CHECKING:
    from kit.paper import Paper

LESSON = "lesson"
# What to do with a file, by how its name ends.
HOW = {
    ".html": "open it in a browser and print it", ".csv": "a table to fill in after class",
    ".yaml": "a machine file, for your own values; \"kit check\" looks at it",
}


class _Printing(Listed):
    """A first word that is none of its commands is a lesson: ``kit print 06`` is ``kit print lesson 06``."""

    def resolve_command(
        self, context: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in self.commands:
            return LESSON, self.commands[LESSON], args
        return super().resolve_command(context, args)


def out_option(command: Callable) -> Callable:
    """The option every one of them has: where the pages go."""
    return click.option("--out", default="paper", show_default=True, type=click.Path(path_type=Path),
                        help="The folder the pages go into; made if missing.")(command)


def quiet_option(command: Callable) -> Callable:
    """The option of what takes long."""
    return click.option("--quiet", is_flag=True, help="No progress bar.")(command)


def for_learners(command: Callable) -> Callable:
    """The options of what differs from learner to learner."""
    learners = click.option("--learners", default="", metavar="FILE|NAMES",
                            help="A file with a pseudonym a line, or names apart by commas.")
    course = click.option("--course", default="", help="The course's name; without it KIT_COURSE, or self-study.")
    return learners(course(command))


def tell(papers: "Iterable[Paper]", out: Path) -> None:
    """Write the papers and say where they are."""
    from kit.paper import write_papers

    papers = tuple(papers)
    written = write_papers(papers, out)
    for path in (out / paper.name for paper in papers):
        if path not in written:
            click.echo(f"{path} is kept as it is: somebody may have written in it. For a new one, move it away first.")
            continue
        click.echo(f"{path} is ready: {HOW.get(path.suffix, 'open it in an editor')}.")


def who(learners: str, course: str) -> tuple[tuple[str, ...], str]:
    """The learners named, none where none are, and the course."""
    from kit.paper.worksheets import read_learners
    from kit.records.places import DEFAULT_COURSE, course_name

    named = read_learners(learners) if learners else ()
    course = course or course_name()
    if named and course == DEFAULT_COURSE:
        click.echo(
            f"The course is '{course}'. If the class has a name, print again with --course: figures follow from it.",
            err=True,
        )
    return named, course


@click.group("print", cls=_Printing, subcommand_metavar="LESSON | charts | data | cards …")
def print_group() -> None:
    """Put a lesson, a chart, a data sheet or job cards on paper.

    "kit print 06" makes the worksheets of lesson 06 and, in a file of its own, the answers. Each file is one HTML page
    with all it needs in it: open it in a browser and print it, on A4 or Letter, in black and white. They go into the
    folder "paper" where you are; --out names another.

    A MACHINE is one of these, or the file of your own (its name ends in .yaml):

    \b
      bench-board, orchard-bike, ride-on-mower,
      harbour-tender, site-generator, compact-loader
    """


@click.command(LESSON)
@click.argument("lesson")
@for_learners
@out_option
def lesson(lesson: str, learners: str, course: str, out: Path) -> None:
    """Worksheets of a LESSON, one a learner with that learner's own figures, and the answers apart.

    A learner's sheet asks what the screen asks the same learner on the same course. Without --learners there is one
    sheet, "variant A". "kit print 06" does the same.
    """
    from kit.paper.worksheets import worksheets

    tell(worksheets(lesson, *who(learners, course)), out)


@click.command("charts")
@click.argument("machine")
@click.option("--case", "cases", multiple=True,
              help="Begin from the complaint of this case, by its name or its card (J11); may be given again.")
@quiet_option
@out_option
def charts(machine: str, cases: tuple[str, ...], quiet: bool, out: Path) -> None:
    """A fault-finding chart of a MACHINE: which test first, and for each outcome which next.

    From nothing known, or with --case from what an owner says, which is far shorter: of a large machine take that. It
    tells how good it is: whether no order of tests is quicker, or how far it may be from the best. The first chart of a
    machine takes up to two minutes.
    """
    from kit.cli.progress import bar
    from kit.paper.charts import chart

    with bar(quiet=quiet) as progress:
        made = [chart(machine, case, progress) for case in cases or ("",)]
    tell(made, out)


@click.command("data")
@click.argument("machine")
@out_option
def data(machine: str, out: Path) -> None:
    """The data sheet of a MACHINE: figures, limits of voltage drop, test points, cautions, all of its drawing."""
    from kit.paper.data_sheet import data_sheet

    tell([data_sheet(machine)], out)


@click.command("cards")
@click.argument("names", nargs=-1, required=True, metavar="CARD|LESSON|FILE...")
@click.option("--answers", is_flag=True, help="What is behind each card as well, in a file of its own.")
@for_learners
@out_option
def cards(names: tuple[str, ...], answers: bool, learners: str, course: str, out: Path) -> None:
    """Job cards to fill in by pencil, such as J1 J2, those of a lesson, such as 06, or those of your own machine file.

    Of a FILE, such as my-machine.yaml, each of its cases is one. Twelve parts from the owner's complaint to handing
    back, with a blank test sheet; nothing tells the fault.
    """
    from kit.paper.job_cards import job_cards

    tell(job_cards(names, *who(learners, course), answers=answers), out)


@click.command("practical")
@click.argument("lesson")
@click.option("--learners", default="", metavar="FILE|NAMES",
              help="A file with a pseudonym a line, or names apart by commas: an observation sheet each.")
@out_option
def practical(lesson: str, learners: str, out: Path) -> None:
    """The practical on real metal beside a LESSON, from 03 on; "board" prints the training board to build.

    How to plant each fault and what it then shows (instructor only), the learner's page, an observation sheet to sign,
    and a table to type the sheets into, which "kit mark" reads with --by-hand.
    """
    from kit.paper.practical import practical_papers
    from kit.paper.worksheets import read_learners

    tell(practical_papers(lesson, read_learners(learners) if learners else ()), out)


@click.command("cases")
@click.argument("names", nargs=-1, metavar="[CARD|MACHINE]...")
@quiet_option
@out_option
def cases(names: tuple[str, ...], quiet: bool, out: Path) -> None:
    """The case library with everything told, for the instructor: all sixty, or those of a CARD or MACHINE.

    A page a case: complaint, what is seen and heard, what was tried wrongly and why, what decides, cause, repair. All
    sixty take about half a minute.
    """
    from kit.cli.progress import bar
    from kit.paper.cases import case_sheets

    with bar(quiet=quiet) as progress:
        made = case_sheets(names, progress)
    tell(made, out)


# What can be printed. A new kind of paper is a function above and its name here.
PRINTED: tuple[click.Command, ...] = (lesson, charts, data, cards, practical, cases)
for each in PRINTED:
    print_group.add_command(each)
