"""A supercharged engine's air chain written anew, to judge fits by: nothing of airchain in it.

Perfect gases with constant heat capacities, an analytic compressor, and a bisection for the
match. What it does not share with the chain under test (variable heat capacities, humidity, map
interpolation) acts as a structural error; smooth deviations of its own come on top: of what is
read, and of each part away from a load that it is held to.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from scipy.optimize import brentq

R, CP, GAMMA = 287.05, 1006.5, 1.399
REFERENCE_T, REFERENCE_P = 298.15, 101325.0
DISPLACEMENT, STROKE, COMPRESSION = 7.0e-3, 0.1016, 9.2
STEP_UP, EFFICIENCY = 4.75, 0.955
DESIGN = 42000.0 * np.pi / 30.0
DUCT_AREA = np.pi / 4 * 0.1**2
COOLANT = 308.15
# Effectiveness of the nominal cooler, and the most that any has.
COOLING, BEST = 0.8, 0.98
LAMBDA, STOICHIOMETRIC, HEATING = 0.86, 14.9266, 43.9e6


@dataclass(frozen=True)
class Wrong:
    """What is wrong with an engine at one speed.

    Shares lost: `slip` of rotor speed, `filling`, `work`, `cooling`. `hole` is the area of a leak
    at the plenum [m^2], its discharge coefficient in it; `choked` the inlet's loss at 1 kg/s [Pa],
    `warm` the coolant's excess [K], `spark` how late it comes [deg], `rich` lambda over its target.
    """

    slip: float = 0.0
    filling: float = 0.0
    work: float = 0.0
    cooling: float = 0.0
    hole: float = 0.0
    choked: float = 0.0
    warm: float = 0.0
    spark: float = 0.0
    rich: float = 1.0


SOUND = Wrong()


@dataclass
class Truth:
    """Factors on the nominal engine."""

    volumetric_efficiency: float = 1.0
    indicated_efficiency: float = 1.0
    compressor_head: float = 1.0
    compressor_flow: float = 1.0
    cooler_effectiveness: float = 1.0
    compressor_efficiency: float = 1.0
    # By part, its logarithm against engine speed [rpm] and load over the load at `held`, and the
    # drive at which all parts are as above.
    growth: dict[str, Callable[[float, float], float]] = field(default_factory=dict)
    held: float = 1.0
    # Volumetric efficiency against engine speed [rpm] and charge temperature [K].
    filling: Callable[[float, float], float] = field(default=lambda rpm, t: warmed(rpm, t))

    def at(self, part: str, rpm: float, load: float, ref: float) -> float:
        """Factor of a part at a load."""
        grown = self.growth[part](rpm, load / ref) if part in self.growth else 0.0
        return float(getattr(self, part) * np.exp(grown))


def log_ratio(phi: np.ndarray) -> np.ndarray:
    """ln(p02/p01) over corrected speed squared (1 at design), against flow over speed [kg/s]."""
    return 1.02 + 0.10 * phi - 0.20 * phi**2


def efficiency(phi: np.ndarray) -> np.ndarray:
    """Isentropic efficiency against flow over speed [kg/s]."""
    return 0.79 - 0.16 * (phi - 1.0) ** 2


def breathing(rpm: float) -> float:
    """Volumetric efficiency at plenum state."""
    return 1.04 - 0.10 * ((rpm - 5600.0) / 2500.0) ** 2


def warmed(rpm: float, t: float) -> float:
    """Volumetric efficiency at a charge temperature [K]; the search for the flow looks below 0."""
    return breathing(rpm) * (max(t, 50.0) / 310.0) ** 0.4


def escaping(hole: float, p: float, t: float, outside: float) -> float:
    """Flow through a hole [kg/s]: isentropic, choked where the pressure is high enough.

    The search for the flow looks at temperatures below 0.
    """
    critical = (2.0 / (GAMMA + 1.0)) ** (GAMMA / (GAMMA - 1.0))
    ratio = max(min(outside / p, 1.0), critical)
    head = ratio ** (2.0 / GAMMA) - ratio ** ((GAMMA + 1.0) / GAMMA)
    return hole * p * np.sqrt(2.0 * GAMMA / (GAMMA - 1.0) / (R * max(t, 50.0)) * head)


def point(truth: Truth, rpm: float, drive: float, p0: float, t0: float,
          wrong: Wrong = SOUND) -> dict[str, float]:  # fmt: skip
    """Matched point at an engine speed [rpm]; SI."""
    speed = rpm * np.pi / 30.0
    n = speed * drive * (1.0 - wrong.slip) * STEP_UP / DESIGN * np.sqrt(REFERENCE_T / t0)
    rate = DISPLACEMENT * speed / (4.0 * np.pi)
    ref = _held(truth, rpm, p0, t0)
    head_factor = truth.at("compressor_head", rpm, n, ref["n"])

    def path(flow: float) -> tuple[float, ...]:
        p1 = p0 - wrong.choked * flow**1.9
        corrected = flow * np.sqrt(t0 / REFERENCE_T) * REFERENCE_P / p1
        phi = corrected / n / truth.compressor_flow
        head = head_factor * log_ratio(phi) * n**2
        p2 = p1 * np.exp(head)
        eta = efficiency(phi) * truth.at("compressor_efficiency", rpm, n, ref["n"])
        # The map's work, not its efficiency, follows the head factor.
        nominal = CP * REFERENCE_T * (np.exp(log_ratio(phi) * n**2 * R / CP) - 1.0)
        work = head_factor * nominal / eta * t0 / REFERENCE_T
        t2 = t0 + work / CP
        p3 = p2 - 0.5 * 0.5 * flow**2 * R * t2 / (p2 * DUCT_AREA**2)
        cooled = COOLING * truth.at("cooler_effectiveness", rpm, flow, ref["air_flow"])
        t3 = t2 - min(cooled * (1.0 - wrong.cooling), BEST) * (t2 - COOLANT - wrong.warm)
        return p3, t3, p2, t2, work, p1

    def excess(flow: float) -> float:
        p3, t3, *_ = path(flow)
        filled = truth.at("volumetric_efficiency", rpm, p3 / t3, ref["density"])
        filled *= truth.filling(rpm, t3) * (1.0 - wrong.filling)
        return flow - escaping(wrong.hole, p3, t3, p0) - filled * p3 / (R * t3) * rate

    flow = brentq(excess, 0.02 * n, 1.75 * n, xtol=1e-12)
    p3, t3, p2, t2, work, p1 = path(flow)
    burned = flow - escaping(wrong.hole, p3, t3, p0)
    indicated = truth.at("indicated_efficiency", rpm, p3 / t3, ref["density"])
    indicated *= (1.0 - wrong.work) * (1.0 - 2.5e-3 * wrong.spark - 1.7e-4 * wrong.spark**2)
    lean = LAMBDA * wrong.rich
    piston = STROKE * speed / np.pi
    share = share_of_work(indicated, lean, piston, p3 / t3)
    loads = {"volumetric_efficiency": "density", "indicated_efficiency": "density",
             "compressor_head": "n", "cooler_effectiveness": "air_flow"}  # fmt: skip
    here = {"density": p3 / t3, "n": n, "air_flow": flow}
    were = {part: truth.at(part, rpm, here[x], ref[x]) for part, x in loads.items()}
    were["cooler_effectiveness"] = min(were["cooler_effectiveness"], BEST / COOLING)
    return were | {
        "air_flow": flow, "plenum_pressure": p3, "plenum_temperature": t3,
        "torque": torque(share, lean, speed, rate, (flow, burned), p3, t3, p0, work),
        "n": n, "density": p3 / t3, "burned": burned, "lambda": lean,
        "fuel_flow": burned / (lean * STOICHIOMETRIC), "rotor_speed": speed * drive
        * (1.0 - wrong.slip) * STEP_UP, "compressor_inlet_pressure": p1,
        "compressor_outlet_pressure": p2, "compressor_outlet_temperature": t2,
        # A cylinder that does not fire releases no heat either: that is the others' exhaust.
        "exhaust_temperature": exhaust(t3, share / (1.0 - wrong.work), lean, piston),
    }  # fmt: skip


def _held(truth: Truth, rpm: float, p0: float, t0: float) -> dict[str, float]:
    """Loads at which no part has grown an error."""
    if not truth.growth:
        return {"n": 1.0, "air_flow": 1.0, "density": 1.0}
    return point(replace(truth, growth={}), rpm, truth.held, p0, t0)


def share_of_work(indicated_factor: float, lean: float, piston: float, load: float) -> float:
    """Indicated work over the fuel's heating value: lambda, piston speed [m/s], p/T [Pa/K].

    A denser charge, and one that burns in less time, loses less heat.
    """
    ideal = 0.86 * indicated_factor * (1.0 - COMPRESSION**-0.26)
    kept = 0.862 + 0.005 * np.log(piston / 15.0) + 0.018 * np.log(load / (1.2 * R))
    return ideal * kept * (lean / LAMBDA) ** 1.13


def exhaust(t3: float, share: float, lean: float, piston: float) -> float:
    """Exhaust temperature [K]: of what is released and neither works nor goes to the walls.

    The ports take some of it, the slower the more.
    """
    released = min(1.0, 1.0 - 1.15 * (1.0 - lean))
    left = 0.8 + 0.1 * np.log(piston / 15.0)
    heat = left * HEATING / (lean * STOICHIOMETRIC) * (released - share - 0.09)
    return t3 + heat / (1.0 + 1.0 / (lean * STOICHIOMETRIC)) / 1208.0


def pumped(piston: np.ndarray, t: np.ndarray, ratio: np.ndarray) -> np.ndarray:
    """Pumping pressure over plenum pressure, at plenum over exhaust pressure.

    Through open valves, and against what the exhaust valve has not let out by bottom centre.
    """
    through = 94.0 * piston**2 / (R * t)
    against = 0.0672 * np.maximum(piston - 14.36, 0.0) * (ratio - 0.53)
    return np.asarray(1.0 / ratio - 1.0 + through + against)


def torque(share: float, lean: float, speed: float, rate: float, flows: tuple[float, float],
           p: float, t: float, p0: float, work: float) -> float:  # fmt: skip
    """Crank torque [N m]: indicated work of the fuel less gas exchange, friction and drive.

    `flows` are those through the compressor and into the engine.
    """
    indicated = flows[1] / (lean * STOICHIOMETRIC) * HEATING * share
    piston = STROKE * speed / np.pi
    pumping = p * float(pumped(np.array(piston), np.array(t), np.array(p / p0)))
    friction = 0.4e5 + 9.0e3 * piston + 90.0 * piston**2
    return (indicated - (pumping + friction) * rate - flows[0] * work / EFFICIENCY) / speed
