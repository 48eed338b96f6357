"""A machine file's truth table, held against the solver."""

from collections.abc import Callable, Iterator, Mapping

from kit.errors import MachineFileError, SolveError
from kit.machines.machine import Machine
from kit.machines.operation import Operation


def check_truth(machine: Machine, file: str) -> None:
    """Raise MachineFileError where the healthy machine does something else than its table says, or it leaves a gap.

    Every position of the controls must be decided for every part the table names.
    """
    for wrong in untrue(machine, file, lambda positions: machine.operate(**positions)):
        raise wrong


def untrue(
    machine: Machine, file: str, operate: Callable[[Mapping[str, str]], Operation]
) -> Iterator[MachineFileError]:
    """Everything ``check_truth`` could complain of, position by position; ``operate`` solves the machine in one."""
    named = tuple(dict.fromkeys(part for rule in machine.truth for part in rule.then))
    for positions in machine.all_positions():
        expected: dict[str, tuple[str, int]] = {}
        for rule in machine.truth:
            if any(positions[name] != position for name, position in rule.when.items()):
                continue
            for part, word in rule.then.items():
                before = expected.setdefault(part, (word, rule.line))
                if before[0] != word:
                    yield MachineFileError(
                        f"{file} line {rule.line}: {part} is '{word}' here but '{before[0]}' by line {before[1]}, "
                        f"both with {_text(positions)}."
                    )
        for part in named:
            if part not in expected:
                yield MachineFileError(
                    f"{file} line {machine.truth[0].line}: the truth table does not say what {part} does "
                    f"with {_text(positions)}."
                )
        if not expected:
            continue
        try:
            now = operate(positions)
        except SolveError as error:
            wrong = MachineFileError(
                f"{file} line {machine.truth[0].line}: with {_text(positions)} the circuit finds no rest; "
                "look for a figure of the wrong size."
            )
            wrong.__cause__ = error
            yield wrong
            continue
        for part, (word, line) in expected.items():
            if now.word(part) != word:
                yield MachineFileError(
                    f"{file} line {line}: {part} should be '{word}' with {_text(positions)}, "
                    f"but the circuit as drawn makes it '{now.word(part) or 'nothing a person can see'}'."
                )


def _text(positions: Mapping[str, str]) -> str:
    return ", ".join(f"{name} {position}" for name, position in positions.items())
