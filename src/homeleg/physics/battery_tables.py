"""Open-circuit voltage of a lithium cell over its state of charge, by chemistry."""

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

__all__ = ["OPEN_CIRCUIT_VOLTS", "STATE_OF_CHARGE_STEP_FRACTION", "Chemistry"]


class Chemistry(Enum):
    """What a cell is made of, as far as its voltage curve cares."""

    LITHIUM_POLYMER = "lithium polymer"
    LITHIUM_ION = "lithium ion"


# The tables below stand at 0, 0.05 ... 1.0 of the full charge.
STATE_OF_CHARGE_STEP_FRACTION = 0.05

# Volts per cell at 25 C. COMPUTED with PyBaMM 26.10.1.1 from the electrode potentials of two
# published parameter sets. LITHIUM_POLYMER: LCO/graphite pouch, S. G. Marquis et al., 2019,
# whose full cell is 4.10 V: a pack charged to 4.20 V stands up to 0.1 V higher when nearly full.
# LITHIUM_ION: NMC811/graphite-SiOx 21700 cell, C.-H. Chen et al., J. Electrochem. Soc. 167, 2020.
# A resting voltage tells the state of charge to a tenth at best.
# fmt: off
OPEN_CIRCUIT_VOLTS: Mapping[Chemistry, tuple[float, ...]] = MappingProxyType({
    Chemistry.LITHIUM_POLYMER: (
        3.105, 3.6176, 3.6818, 3.6908, 3.6921, 3.6938, 3.6971, 3.7022, 3.7153, 3.7345,
        3.745, 3.7537, 3.7648, 3.7794, 3.7985, 3.8221, 3.849, 3.8756, 3.904, 4.0084, 4.1,
    ),
    Chemistry.LITHIUM_ION: (
        2.5, 3.1094, 3.2959, 3.4339, 3.4852, 3.5286, 3.5814, 3.629, 3.667, 3.7054,
        3.7509, 3.7983, 3.8406, 3.8896, 3.9479, 3.9943, 4.0421, 4.0809, 4.0967, 4.1236, 4.2,
    ),
})
# fmt: on
