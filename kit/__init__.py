"""A teaching kit for electrical fault-finding on 12 V and 24 V small machines.

    import kit
    bike = kit.machine("orchard-bike")
    now = bike.operate(key="on", start_button="pressed")
    now.volts["K1.86"], now.amps["M1"], now.relays["K1"]
"""

from kit.machines import machine

__version__ = "0.1"
__all__ = ["machine"]
