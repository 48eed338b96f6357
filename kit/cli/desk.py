"""What an assessor does besides marking: packs, a sample for a second marker, appeals, a learner's own data."""

from pathlib import Path

import click

FOLDER = click.Path(path_type=Path)


@click.command("pack")
@click.argument("what", type=click.Choice(["class", "assessor"]))
@click.option("--course", required=True, help="The course's name; pseudonyms and variants follow from it.")
@click.option("--learners", "number", type=click.IntRange(1, 20_000), default=30, show_default=True,
              help="So many pseudonyms.")
@click.option("--out", required=True, type=FOLDER, help="The zip to write.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
def pack(what: str, course: str, number: int, out: Path, quiet: bool) -> None:
    """Make the zip for a class, or the assessor's own.

    "class" has the kit, the lessons and a list of pseudonyms; "assessor" has the solutions, what is right for each
    learner's variants, and names.csv to write the names into (keep it apart from the marks). The same course and number
    give the same bytes.
    """
    from kit.cli.lab import find_lessons
    from kit.cli.progress import bar
    from kit.errors import RecordError
    from kit.marking.packs import pseudonyms, write_assessor_pack, write_class_pack

    if not course.strip():
        raise RecordError("a course needs a name: --course autumn, say.")
    root, names = find_lessons().parent, pseudonyms(course, number)
    if what == "class":
        write_class_pack(root, course, names, out)
    else:
        with bar(quiet=quiet) as progress:
            write_assessor_pack(root, course, names, out, progress)
    click.echo(f"{out} is for {number} learners of '{course}'.")


@click.command("sample")
@click.argument("handed_in", type=FOLDER)
@click.option("--out", required=True, type=FOLDER, help="Where second-marks.csv goes.")
@click.option("--number", type=click.IntRange(1, 10_000), default=6, show_default=True, help="So many learners.")
@click.option("--rubric", type=FOLDER, help="The rubric the class was marked with, if it was one of yours.")
@click.option("--by-hand", multiple=True, type=FOLDER,
              help="The marks people gave, such as marks/by-hand.csv: they count towards who is near the cut.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
def sample(
    handed_in: Path, out: Path, number: int, rubric: Path | None, by_hand: tuple[Path, ...], quiet: bool
) -> None:
    """Draw learners for a second marker, blind to what the first one gave.

    A third lies nearest to the cut, a third at the two ends, the rest anywhere; the marks draw, not a person. The
    second marker fills in points and a name in OUT/second-marks.csv; "kit agree" then compares the two tables.
    """
    from kit.cli.progress import bar
    from kit.marking import default_rubric, mark_folder, read_rubric
    from kit.marking import moderation as second

    rules = read_rubric(rubric) if rubric else default_rubric()
    with bar(quiet=quiet) as progress:
        book = mark_folder(handed_in, progress, rubric=rules, by_hand=by_hand, stories=False)
    names = second.sample(book.learners, number, rules.cut)
    path = second.write_sample(book.learners, names, out)
    click.echo(f"{path} waits for a second marker: {', '.join(names)}.")


@click.command("agree")
@click.argument("first", type=FOLDER)
@click.argument("second", type=FOLDER)
def agree(first: Path, second: Path) -> None:
    """Compare two tables of marks by hand: how often two markers agree, and where they do not.

    For example: python -m kit agree marks/by-hand.csv second/second-marks.csv.
    """
    from kit.marking.moderation import compare

    found = compare(first, second)
    kappa = "no kappa" if found.kappa is None else f"kappa {found.kappa:.2f}"
    click.echo(f"Both marked {found.both}; alike {found.alike}; {kappa}; "
               f"the second gave {found.mean_difference:+.2f} points on average.")
    for learner, question, one, other in found.apart:
        click.echo(f"  {learner} {question}: {one} and {other}")


@click.command("appeal")
@click.argument("learner")
@click.argument("question")
@click.argument("note")
@click.option("--out", required=True, type=FOLDER, help="The folder of the marks.")
def appeal(learner: str, question: str, note: str, out: Path) -> None:
    """Add a learner's appeal against a mark.

    For example: python -m kit appeal wren 06.3 "I meant millivolts" --out marks. It is a line more in appeals.jsonl
    there; nothing is changed by it, and nothing there is ever written over.
    """
    from kit.marking.privacy import append_appeal, look_up

    look_up(learner, question, out)
    receipt = append_appeal(learner, question, note, out)
    click.echo(f"Appeal {receipt.number} of {receipt.learner}, added {receipt.at}. A person decides.")


@click.command("export")
@click.argument("learner")
@click.argument("handed_in", type=FOLDER)
@click.option("--out", required=True, type=FOLDER, help="The zip to write.")
@click.option("--marks", type=FOLDER,
              help="The folder of the marks: what stands there of the learner goes in as well, with what people gave.")
@click.option("--quiet", is_flag=True, help="No progress bar.")
def export(learner: str, handed_in: Path, out: Path, marks: Path | None, quiet: bool) -> None:
    """Give one learner everything kept of them: the records, and the marks with all they rest on.

    For example: python -m kit export wren handed-in --marks marks --out wren.zip. Without --marks the answers are
    marked anew by the usual rubric, and nothing that a person gave is in it.
    """
    from kit.cli.progress import bar
    from kit.marking import mark_folder
    from kit.marking.privacy import export_learner, records_of

    # Nobody waits for a class to be marked, to be told then that there is no such learner.
    records_of(learner, handed_in)
    marked = None
    if marks is None:
        with bar(quiet=quiet) as progress:
            book = mark_folder(handed_in, progress, stories=False)
        marked = next((one for one in book.learners if one.learner == learner), None)
    export_learner(learner, handed_in, marked, out, marks)
    click.echo(f"{out} holds all of {learner}'s{'' if marks else '; for what people gave, name the marks: --marks'}.")


@click.command("erase")
@click.argument("learner")
@click.argument("handed_in", type=FOLDER)
@click.option("--yes", is_flag=True, help="Do it without asking.")
def erase(learner: str, handed_in: Path, yes: bool) -> None:
    """Delete one learner's records for good.

    A zip that holds nothing but this learner's is deleted whole. Copies elsewhere, and marks made before, are yours to
    delete; the lines of this learner in by-hand.csv, too.
    """
    from kit.marking.privacy import erase_learner, records_of

    found = sorted({one.path for one in records_of(learner, handed_in)})
    if not yes:
        click.echo("\n".join(map(str, found)))
        several = "this file" if len(found) == 1 else f"these {len(found)} files"
        click.confirm(f"Delete {several} of {learner} for good?", abort=True)
    erased = erase_learner(learner, handed_in)
    click.echo(f"{len(erased)} deleted. Delete the folder of marks and mark again; by-hand.csv there keeps what people "
               "gave until you take its lines out.")


COMMANDS = (pack, sample, agree, appeal, export, erase)
