"""The fleet: the machines that come with the kit."""

from functools import cache, lru_cache
from pathlib import Path

from kit.errors import OperationError
from kit.machines.loader import read_machine
from kit.machines.machine import Machine

FLEET = Path(__file__).parent / "fleet"
EXAMPLE = Path(__file__).parent / "example.yaml"  # what "python -m kit example" prints
ENDINGS = (".yaml", ".yml")


def machine_ids() -> tuple[str, ...]:
    """The ids of the fleet, in order of name."""
    return tuple(sorted(path.stem for path in FLEET.glob("*.yaml")))


def machine(machine_id: str) -> Machine:
    """One machine of the fleet by its id, such as ``orchard-bike``, or your own by its file, ``my-machine.yaml``.

    Raises OperationError for an unknown id, MachineFileError for a file with a mistake in it. The same is handed out
    again as long as its file is the same.
    """
    if machine_id.endswith(ENDINGS):
        path = Path(machine_id).resolve()
        return _own(path, path.stat().st_mtime_ns if path.is_file() else 0)
    if machine_id not in machine_ids():
        raise OperationError(f"there is no machine '{machine_id}'; there are {', '.join(machine_ids())}.")
    return _of_the_fleet(machine_id)


@cache
def _of_the_fleet(machine_id: str) -> Machine:
    return read_machine(FLEET / f"{machine_id}.yaml")


@lru_cache(maxsize=8)
def _own(path: Path, changed: int) -> Machine:
    return read_machine(path)
