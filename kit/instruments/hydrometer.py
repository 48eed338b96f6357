"""The hydrometer: a float in a cell's acid. Only a flooded battery has caps to draw it through."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.circuit import Battery
from kit.errors import OperationError
from kit.instruments.reading import Reading
from kit.machines import Operation
from kit.solve.battery import cell_gravities
from kit.solve.branches import network

BELOW_VOLTS = 0.845  # specific gravity = cell's open-circuit volts − 0.845. Source: DOE-HDBK-1084-95.
# What is added for each degree F above 80 °F, where floats are made to be right. Source: US Army TM 5-4210-230.
FLOAT_FAHRENHEIT, PER_FAHRENHEIT = 80.0, 0.0004
WIDEST_SPREAD = 0.025  # from cell to cell. Source: US Army TM 9-6140-200-14.
FLOAT_STEP = 0.005
SEALED = "sealed: no caps to open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hydrometer:
    """A hydrometer in one cell of a battery, cell 1 at the minus post.

    What the float shows is right at 80 °F (27 °C) only; ``corrected`` takes the acid's temperature in.
    """

    battery: str
    cell: int = 1

    def read(self, operation: Operation) -> Reading:
        """What the float shows, to 0.005. Raises OperationError where there is no such battery or cell."""
        part = next((part for part in network(operation.circuit).parts if part.id == self.battery), None)
        if not isinstance(part, Battery):
            raise OperationError(f"a hydrometer goes into a battery; {self.battery} is none.")
        if not 1 <= self.cell <= part.cells:
            raise OperationError(f"{self.battery} has cells 1 to {part.cells}, no cell {self.cell}.")
        leads = (self.battery, f"cell {self.cell}")
        if part.build != "flooded":
            return Reading(instrument="hydrometer", leads=leads, shown=SEALED, accepts=(SEALED,))
        floats_at = cell_gravities(part)[self.cell - 1] - correction(part.celsius)
        value = round(round(floats_at / FLOAT_STEP) * FLOAT_STEP, 3)
        # Between two lines either is right.
        near = {value, *(round(value + step, 3) for step in (-FLOAT_STEP, FLOAT_STEP)
                         if abs(value + step - floats_at) <= 0.6 * FLOAT_STEP)}
        accepts = (f"{value:.3f}", *(f"{other:.3f}" for other in sorted(near - {value})))
        return Reading(instrument="hydrometer", leads=leads, shown=accepts[0], accepts=accepts, value=value)


def gravity(cell_volts: float) -> float:
    """Specific gravity at 80 °F of a rested cell of so many open-circuit volts.

    >>> round(gravity(2.1), 3)
    1.255
    """
    return cell_volts - BELOW_VOLTS


def correction(celsius: float) -> float:
    """What is added to a float's figure in acid of this temperature: 0.004 for every 10 °F above 80 °F."""
    return (celsius * 1.8 + 32 - FLOAT_FAHRENHEIT) * PER_FAHRENHEIT


def corrected(shown: float, celsius: float) -> float:
    """The gravity at 80 °F behind what a float shows in acid of another temperature.

    >>> round(corrected(1.250, 37.8), 3)
    1.258
    """
    return shown + correction(celsius)


def serviceable(gravities: Sequence[float]) -> bool:
    """Whether a battery's cells agree: more than 0.025 from the highest to the lowest and it is done for.

    >>> serviceable((1.260, 1.255, 1.240)), serviceable((1.260, 1.255, 1.230))
    (True, False)
    """
    return round(max(gravities) - min(gravities), 6) <= WIDEST_SPREAD
