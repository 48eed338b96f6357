"""ngspice inside this process, through its shared library (Debian: libngspice0): circuits in, commands, volts out.

Its options stand in the netlist; its messages are kept, for errors.
"""

import ctypes
import ctypes.util
from collections.abc import Sequence


class _Vector(ctypes.Structure):
    """``struct vector_info`` of ngspice's sharedspice.h."""

    _fields_ = [
        ("name", ctypes.c_char_p), ("kind", ctypes.c_int), ("flags", ctypes.c_short),
        ("real", ctypes.POINTER(ctypes.c_double)), ("complex", ctypes.c_void_p), ("length", ctypes.c_int),
    ]


_SAY = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
_EXIT = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.c_int, ctypes.c_bool, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p
)
_DATA = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int, ctypes.c_int, ctypes.c_void_p)
_START = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p)
_THREAD = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p)


class Ngspice:
    """One ngspice in this process; raises OSError where its library is not installed."""

    def __init__(self) -> None:
        self.library = ctypes.CDLL(ctypes.util.find_library("ngspice") or "libngspice.so.0")
        self.said: list[str] = []
        # ngspice keeps these, so they must live as long as it does.
        self._keep = (
            _SAY(self._hear), _SAY(lambda *_: 0), _EXIT(lambda *_: 0), _DATA(lambda *_: 0), _START(lambda *_: 0),
            _THREAD(lambda *_: 0),
        )
        self.library.ngGet_Vec_Info.restype = ctypes.POINTER(_Vector)
        self.library.ngGet_Vec_Info.argtypes = [ctypes.c_char_p]
        self.library.ngSpice_Init(*self._keep, None)

    def _hear(self, text: bytes, *_: object) -> int:
        self.said.append(text.decode("utf-8", "replace"))
        return 0

    def load(self, netlist: Sequence[str]) -> None:
        """Take a circuit: a title line, elements, ``.end``."""
        lines = [line.encode() for line in netlist]
        array = (ctypes.c_char_p * (len(lines) + 1))(*lines, None)
        if self.library.ngSpice_Circ(array):
            raise RuntimeError("ngspice does not take the circuit: " + " / ".join(self.said[-5:]))

    def do(self, command: str) -> None:
        """Run one command."""
        if self.library.ngSpice_Command(command.encode()):
            raise RuntimeError(f"ngspice refuses '{command}': " + " / ".join(self.said[-5:]))

    def volts(self, vector: str) -> float:
        """The last figure of a vector of the present plot, such as ``n3``."""
        found = self.library.ngGet_Vec_Info(vector.encode())
        if not found or not found.contents.length:
            raise RuntimeError(f"ngspice has no {vector}: " + " / ".join(self.said[-5:]))
        return found.contents.real[found.contents.length - 1]
