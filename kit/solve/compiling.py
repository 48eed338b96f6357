"""The plain loops of the kernels, compiled: the functions themselves, not copies of them."""

from collections.abc import Callable
from functools import cache
from types import FunctionType

import numba
import numpy as np

from kit.solve import careful, kernel, turn_kernel


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
    namespace = {**vars(turn_kernel), **vars(careful), **vars(kernel), "np": np}
    for name, function in list(namespace.items()):
        if isinstance(function, FunctionType):
            namespace[name] = _compile(function, namespace)
    return namespace


def _compile(function: FunctionType, namespace: dict) -> Callable:
    # The kernel looks before it divides; numpy's error model leaves out a second look.
    return numba.njit(FunctionType(function.__code__, namespace, function.__name__), error_model="numpy")
