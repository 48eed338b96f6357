"""The fleet: the machines that come with the kit."""

from functools import cache
from pathlib import Path

from kit.errors import OperationError
from kit.machines.loader import read_machine
from kit.machines.machine import Machine

FLEET = Path(__file__).parent / "fleet"
EXAMPLE = Path(__file__).parent / "example.yaml"  # what "python -m kit example" prints


def machine_ids() -> tuple[str, ...]:
    """The ids of the fleet, in order of name."""
    return tuple(sorted(path.stem for path in FLEET.glob("*.yaml")))


@cache
def machine(machine_id: str) -> Machine:
    """One machine of the fleet by its id, such as ``orchard-bike``; raises OperationError for an unknown one."""
    if machine_id not in machine_ids():
        raise OperationError(f"there is no machine '{machine_id}'; there are {', '.join(machine_ids())}.")
    return read_machine(FLEET / f"{machine_id}.yaml")
