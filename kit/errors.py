"""Every error the kit raises on purpose.

KitError
├── QuantityError        a number or its unit cannot be read
├── CircuitError         a circuit that cannot exist (repeated id, wire to nowhere, negative ohms)
├── FaultError           a fault that does not fit the part it is planted in
├── MachineFileError     a machine file is wrong; names the file and the line
├── OperationError       no such control, position, terminal or part was asked for
├── SolveError           the solver could not settle a circuit (a bug of ours: please report it)
├── DiagnosisError       an outcome table whose parts do not fit together, or a test that is not in it
├── DrawingError         a drawing lacks a place, or was asked for a stage that is not there
├── QuestionError        a question or a job card is wrong in itself
├── RecordError          a learner's record cannot be read or written
├── RubricError          a rubric, or a table of an assessor's, is wrong in itself
└── PaperError           what was asked for cannot be printed, or its file cannot be written

A learner's mistake is never an error: it is an answer, a reading or a finding that is off.
"""


class KitError(Exception):
    """Anything the kit can explain; the message says what was wrong and what to do."""


class QuantityError(KitError):
    """A number or its unit cannot be read."""


class CircuitError(KitError):
    """A circuit that cannot exist."""


class FaultError(KitError):
    """A fault that does not fit the part it is planted in."""


class MachineFileError(KitError):
    """A machine file is wrong: the message names file, line, part and what was expected."""


class OperationError(KitError):
    """No such control, position, terminal or part."""


class SolveError(KitError):
    """The solver could not settle a circuit."""


class DiagnosisError(KitError):
    """An outcome table that does not fit together, or no such test or outcome."""


class DrawingError(KitError):
    """A drawing lacks a place, or was asked for a stage that is not there."""


class QuestionError(KitError):
    """A question or a job card is wrong in itself."""


class RecordError(KitError):
    """A learner's record cannot be read or written."""


class RubricError(KitError):
    """A rubric, or a table an assessor wrote, is wrong in itself: the message names file and place."""


class PaperError(KitError):
    """What was asked for cannot be printed, or its file cannot be written."""
