"""Involute pairs whose teeth are shifted so that they run on a given centre distance.

The geometry of an external spur pair of module m, teeth z1 and z2, and pressure angle alpha:

    a_d = m (z1 + z2)/2,   cos alpha_w = a_d cos alpha/a
    x1 + x2 = (z1 + z2) (inv alpha_w - inv alpha)/(2 tan alpha),   inv t = tan t - t

[ISO 21771-1, DIN 3960]. The sum of shifts is parted as DIN 3992 does in its balanced range:

    x1 = (x1 + x2)/2 + (1/2 - (x1 + x2)/2) lg u/lg(z1 z2/100),   z1 the smaller, u = z2/z1

(from memory). Tips are shortened so that the clearance of the rack, 0.25 m, remains. The root is
rated by the form factor of a tooth loaded at its tip, by the tangent of 30 degrees, ISO 6336-3.
Left out: helix angle, backlash, tip relief, the strength of thin rims.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import acos, cos, isfinite, log10, pi, sin, sqrt, tan

from .. import _core
from ..units.convert import formatted

__all__ = ["MODULES", "ShiftedPair", "involute"]

#: Preferred modules, both rows of ISO 54 (from memory) [m].
MODULES = tuple(
    1e-3 * m
    for m in (1.0, 1.125, 1.25, 1.375, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.5, 4.0, 4.5, 5.0,
              5.5, 6.0, 7.0, 8.0, 9.0, 10.0)
)  # fmt: skip
#: The standard basic rack of ISO 53, profile A, over the module: addendum, dedendum, clearance and
#: radius at the root.
_ADDENDUM, _DEDENDUM, _CLEARANCE, _FILLET = 1.0, 1.25, 0.25, 0.38
STANDARD_ANGLE = 20.0 * pi / 180.0
#: Sum of shifts that DIN 3992 has lines for in the main (from memory).
LEAST_SUM, MOST_SUM = -0.6, 1.4
#: Contact ratio and tip thickness over the module that hardened teeth keep (common practice, no
#: source).
LEAST_CONTACT, LEAST_TIP = 1.2, 0.4
#: A pair whose shifts add up to less runs on its standard centres.
_NONE = 5e-4


def involute(angle: float) -> float:
    """Return the involute function of an angle.

    Parameters
    ----------
    angle : float
        The angle [rad].

    Returns
    -------
    float
        tan t - t [rad].
    """
    return tan(angle) - angle


@dataclass(frozen=True)
class ShiftedPair:
    """Two gears of one module on a given centre distance.

    Attributes
    ----------
    driving_teeth, driven_teeth : int
        Teeth [dimensionless].
    module : float
        Of the tool that cuts them [m].
    centre_distance : float
        Between the shafts [m].
    pressure_angle : float
        Of the tool [rad].
    """

    driving_teeth: int
    driven_teeth: int
    module: float
    centre_distance: float
    pressure_angle: float = STANDARD_ANGLE

    @property
    def standard_centres(self) -> float:
        """Centre distance without shift [m]."""
        return 0.5 * self.module * (self.driving_teeth + self.driven_teeth)

    @property
    def working_angle(self) -> float:
        """Pressure angle at the working pitch circles [rad]; NaN where the teeth cannot meet."""
        cosine = self.standard_centres * cos(self.pressure_angle) / self.centre_distance
        return acos(cosine) if cosine < 1.0 else float("nan")

    @property
    def working_module(self) -> float:
        """Working pitch diameter over teeth [m]: 2 a/(z1 + z2)."""
        return 2.0 * self.centre_distance / (self.driving_teeth + self.driven_teeth)

    @cached_property
    def shift_sum(self) -> float:
        """Sum of both profile shifts over the module [dimensionless]."""
        z = self.driving_teeth + self.driven_teeth
        angle = self.pressure_angle
        return z * (involute(self.working_angle) - involute(angle)) / (2.0 * tan(angle))

    @cached_property
    def shifts(self) -> tuple[float, float]:
        """Profile shifts of driving and driven gear over the module [dimensionless]."""
        small, large = sorted((self.driving_teeth, self.driven_teeth))
        half = 0.5 * self.shift_sum
        part = log10(large / small) / log10(small * large / 100.0) if small > 10 else 0.0
        first = half + (0.5 - half) * part if self.shifted else half
        second = self.shift_sum - first
        return (first, second) if self.driving_teeth <= self.driven_teeth else (second, first)

    @property
    def shifted(self) -> bool:
        """Whether the centres need a profile shift."""
        return not abs(self.shift_sum) < _NONE

    def _tip_radii(self) -> tuple[float, float]:
        """Radii of the tips, shortened so that the clearance remains [m]."""
        away = (self.centre_distance - self.standard_centres) / self.module
        shortened = away - self.shift_sum
        first, second = (
            self.module * (0.5 * z + _ADDENDUM + x + shortened)
            for z, x in zip(self._teeth, self.shifts, strict=True)
        )
        return first, second

    @property
    def _teeth(self) -> tuple[int, int]:
        return self.driving_teeth, self.driven_teeth

    def _base_radius(self, teeth: int) -> float:
        return 0.5 * self.module * teeth * cos(self.pressure_angle)

    @cached_property
    def contact_ratio(self) -> float:
        """Teeth in mesh on the mean [dimensionless]: length of contact over base pitch."""
        reach = 0.0
        for teeth, tip in zip(self._teeth, self._tip_radii(), strict=True):
            base = self._base_radius(teeth)
            reach += sqrt(max(tip * tip - base * base, 0.0))
        reach -= self.centre_distance * sin(self.working_angle)
        return reach / (pi * self.module * cos(self.pressure_angle))

    @cached_property
    def tip_thickness(self) -> float:
        """Thickness of the thinner tip over the module [dimensionless]."""
        return min(
            self._thickness(teeth, shift, tip) / self.module
            for teeth, shift, tip in zip(self._teeth, self.shifts, self._tip_radii(), strict=True)
        )

    def _thickness(self, teeth: int, shift: float, tip: float) -> float:
        at_tip = acos(min(self._base_radius(teeth) / tip, 1.0))
        half = (0.5 * pi + 2.0 * shift * tan(self.pressure_angle)) / teeth
        return 2.0 * tip * (half + involute(self.pressure_angle) - involute(at_tip))

    def obstacles(self) -> list[str]:
        """Return what speaks against cutting the pair.

        Returns
        -------
        list of str
            Empty for a pair that can be made.
        """
        if not isfinite(self.working_angle):
            return [f"its teeth do not meet on {formatted(self.centre_distance, 'length')}"]
        total = self.shift_sum
        if not LEAST_SUM <= total <= MOST_SUM:
            return [f"the shifts would add up to {total:+.2f}, and {LEAST_SUM:g} to {MOST_SUM:g} "
                    "is usual"]  # fmt: skip
        against = []
        for teeth, shift in zip(self._teeth, self.shifts, strict=True):
            # The straight flank of the rack must begin above the base circle.
            least = _ADDENDUM - 0.5 * teeth * sin(self.pressure_angle) ** 2
            if shift < least - 1e-9:
                against.append(f"the gear of {teeth} teeth would be undercut")
        if self.contact_ratio < LEAST_CONTACT:
            against.append(f"its contact ratio is {self.contact_ratio:.2f}, below {LEAST_CONTACT}")
        if self.tip_thickness < LEAST_TIP:
            against.append(f"its tips are {self.tip_thickness:.2f} modules thin, below {LEAST_TIP}")
        return against

    def form_factor(self, driving: bool, shifted: bool = True) -> float:
        """Return the form factor of a tooth loaded at its tip, by ISO 6336-3.

        Parameters
        ----------
        driving : bool
            Whether of the driving gear.
        shifted : bool
            Whether with its profile shift, or as cut without.

        Returns
        -------
        float
            Bending moment over that of a square section [dimensionless].
        """
        gear = 0 if driving else 1
        teeth = self._teeth[gear]
        if not shifted:
            return _form_factor(teeth, 0.0, teeth + 2.0 * _ADDENDUM, self.pressure_angle)
        tip = 2.0 * self._tip_radii()[gear] / self.module
        return _form_factor(teeth, self.shifts[gear], tip, self.pressure_angle)

    def pair(self, efficiency: float) -> _core.GearPair:
        """Return the pair as a link: its module is the working one, so that centres agree.

        Parameters
        ----------
        efficiency : float
            Power out over power in [dimensionless].

        Returns
        -------
        GearPair
            The link.
        """
        module = self.working_module if self.shifted else self.module
        return _core.GearPair(driving_teeth=self.driving_teeth, driven_teeth=self.driven_teeth,
                              efficiency=efficiency, module=module)  # fmt: skip

    def rated(self, teeth: _core.GearTeeth) -> _core.GearTeeth:
        """Return what the teeth carry with their shift, for the link that `pair` gives.

        Contact is rated at the working pressure angle. A root has the factor of the plain tooth,
        times the ratio of the form factors without and with the shift.

        Parameters
        ----------
        teeth : GearTeeth
            The teeth without shift.

        Returns
        -------
        GearTeeth
            The same for this pair.
        """
        if not self.shifted:
            return teeth
        factors = {}
        for side, driving in (("driving", True), ("driven", False)):
            name = f"{side}_geometry_factor"
            count = self.driving_teeth if driving else self.driven_teeth
            plain = float(getattr(teeth, name)) or _core.lewis_form_factor(count)
            ratio = self.form_factor(driving, shifted=False) / self.form_factor(driving)
            # The root stands on the tool's module, the link on the working one.
            factors[name] = plain * ratio * self.module / self.working_module
        return teeth.replace(pressure_angle=self.working_angle, **factors)

    @property
    def words(self) -> str:
        """Module, shifts, and what makes them run: such as a drawing needs."""
        size = f"module {1e3 * self.module:g} mm"
        if not self.shifted:
            return f"{size}, exact sum"
        first, second = self.shifts
        return f"{size}, profile shifts {first:+.3f} and {second:+.3f}"

    def flipped(self) -> ShiftedPair:
        """Return the same two gears changed over.

        Returns
        -------
        ShiftedPair
            The reciprocal ratio on the same centres.
        """
        return replace(self, driving_teeth=self.driven_teeth, driven_teeth=self.driving_teeth)


def _form_factor(teeth: float, shift: float, tip: float, angle: float) -> float:
    """ISO 6336-3 (from memory), load at the tip: Y_Fa of a tooth with its tip diameter over m."""
    edge = (0.25 * pi - _DEDENDUM * tan(angle)
            - (1.0 - sin(angle)) * _FILLET / cos(angle))  # fmt: skip
    g = _FILLET - _DEDENDUM + shift
    h = 2.0 / teeth * (0.5 * pi - edge) - pi / 3.0
    theta = pi / 6.0
    for _ in range(50):
        theta = 2.0 * g / teeth * tan(theta) - h
    inner = g / cos(theta) - _FILLET
    chord = teeth * sin(pi / 3.0 - theta) + sqrt(3.0) * inner
    at_tip = acos(min(teeth * cos(angle) / tip, 1.0))
    gamma = (0.5 * pi + 2.0 * shift * tan(angle)) / teeth + involute(angle) - involute(at_tip)
    load = at_tip - gamma
    arm = 0.5 * ((cos(gamma) - sin(gamma) * tan(load)) * tip
                 - teeth * cos(pi / 3.0 - theta) - inner)  # fmt: skip
    return 6.0 * arm * cos(load) / (chord * chord * cos(angle))
