"""The plain loops of the kernels, compiled: the functions themselves, not copies of them, and kept on disk.

What is compiled lies in the computer's own folder for caches and nowhere else: unlike the arrays of
``kit.solve.shelf`` it is run, so it is never taken from a folder a class shares. Its folder is named by the code it was
made from; without one that can be written to it is compiled anew in each process.
"""

import contextlib
import hashlib
import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import ClassVar

import numba
import numpy as np
from numba.core import caching

from kit.solve import careful, elimination, kernel, movers, ports, turn_kernel
from kit.solve.shelf import usual_folder

OLD_FOLDERS = 3  # of earlier code, that stay: another checkout may still be at work


@cache
def compiled(*functions: FunctionType) -> Callable:
    """The last of these functions compiled, able to call the kernel's and the ones named before it.

    Compiled code cannot call plain functions, and the kernel stays plain for browsers without numba; so each function
    is made anew from its own code over a namespace where the names it calls are the compiled ones.
    """
    namespace = _namespace()
    for function in functions:
        known = namespace.get(function.__name__)
        if known is None or known.py_func.__code__ is not function.__code__:
            namespace[function.__name__] = _compile(function, namespace)
    return namespace[functions[-1].__name__]


@cache
def _namespace() -> dict:
    namespace = {
        **vars(ports), **vars(turn_kernel), **vars(careful), **vars(kernel), **vars(movers),
        **vars(elimination), "np": np,
    }
    for name, function in list(namespace.items()):
        if isinstance(function, FunctionType):
            namespace[name] = _compile(function, namespace)
    return namespace


def _compile(function: FunctionType, namespace: dict) -> Callable:
    # The kernel looks before it divides; numpy's error model leaves out a second look.
    made = numba.njit(FunctionType(function.__code__, namespace, function.__name__), error_model="numpy")
    return kept(made, "numpy")


def kept(made: Callable, flavour: str) -> Callable:
    """A compiled function that looks on disk before it compiles itself, and leaves there what it compiled.

    ``flavour`` names how it is compiled: numba tells functions apart by their code and arguments alone.
    """
    folder = _folder()
    if folder is not None:
        # numba asks for its folder when a cache is made, and by a setting that is there for all.
        before, numba.config.CACHE_DIR = numba.config.CACHE_DIR, str(folder / flavour)
        try:
            with contextlib.suppress(RuntimeError):
                made._cache = _Kept(made.py_func)
        finally:
            numba.config.CACHE_DIR = before
    return made


class _Place(caching.CompileResultCacheImpl):
    """Where numba looks: in the folder it was given, not beside the code."""

    _locator_classes: ClassVar = [caching.UserProvidedCacheLocator]


class _Kept(caching.FunctionCache):
    """numba's own cache on disk, for which a full, locked or damaged disk is no reason to stop."""

    _impl_class = _Place

    def load_overload(self, sig: object, target_context: object) -> object:
        # A damaged pickle can fail in any way; whatever it is, the function is compiled instead.
        with contextlib.suppress(Exception):
            return super().load_overload(sig, target_context)
        return None

    def save_overload(self, sig: object, data: object) -> None:
        try:
            super().save_overload(sig, data)
        except Exception:  # the index it adds to may be the damaged one: begin it anew, if that can be
            with contextlib.suppress(Exception):
                self.flush()
                super().save_overload(sig, data)


@cache
def _folder() -> Path | None:
    """The folder for what this very code compiles to; None where there can be none."""
    total = hashlib.sha256(f"{numba.__version__} {np.__version__}".encode())
    # What one function calls is compiled into it: any file of the room changes them all.
    for path in sorted(Path(__file__).parent.glob("*.py")):
        total.update(path.name.encode() + b"\x00" + path.read_bytes())
    folder = usual_folder() / "compiled" / total.hexdigest()[:16]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.touch()
        others = sorted((each for each in folder.parent.iterdir() if each != folder), key=lambda p: p.stat().st_mtime)
    except OSError:
        return None
    for old in others[:-OLD_FOLDERS]:
        shutil.rmtree(old, ignore_errors=True)
    return folder
