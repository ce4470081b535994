"""
The stations, the match and the sweep, computed in C++. All numbers are SI.
"""
from __future__ import annotations
from airchain import InputError
import collections.abc
import numpy
import numpy.typing
import typing
__all__: list[str] = ['AirReport', 'Ambient', 'Breathing', 'BreathingSurface', 'BreathingTable', 'Burn', 'BurnedSurface', 'Bypass', 'CHECKING_LIFT', 'Camshaft', 'Chain', 'ChargeMixture', 'Combustion', 'Compressor', 'CompressorMap', 'Cooler', 'Crank', 'Curve', 'CycleControls', 'CyclePoint', 'CycleSetup', 'Diffuser', 'Drive', 'Duct', 'Engine', 'EngineRoom', 'Exhaust', 'FlowBench', 'Fuel', 'GearPair', 'GearStress', 'GearTeeth', 'HeadJoint', 'HeatLoss', 'IceTank', 'Impeller', 'Injection', 'Injector', 'InputError', 'KNOCK_DOUBT', 'KNOCK_OCTANE', 'LiftCurve', 'LiftOff', 'Line', 'LinkLoad', 'Lobe', 'MEAN_VALUE_DOUBTS', 'MapData', 'MapPoint', 'Operation', 'Pipe', 'PulleyPair', 'Pump', 'ReferenceState', 'Refusal', 'ReliefValve', 'Runner', 'SEAT_LIFT', 'Scoop', 'SparkSearch', 'SpeedLine', 'Stage', 'StationState', 'StepUp', 'Supply', 'TankState', 'Throttle', 'ValveArea', 'Vanes', 'Volute', 'air_report', 'axis_names', 'breathing_table', 'charge_after_fuel', 'columns', 'corrected_flow', 'corrected_speed', 'cycle_columns', 'cycle_status_names', 'density_altitude', 'drive_loads', 'drive_rotation', 'dry_air_density', 'duct_from_pressure_drop', 'ducts_in_series', 'effective_area', 'effectiveness', 'effectiveness_curve', 'engine_states', 'estimated_inducer_throat_area', 'events_at_checking_lift', 'events_at_seat_lift', 'firing_angles', 'flag_names', 'fuel_vapour_pressure', 'gear_stress', 'generic_fuel', 'generic_fuel_names', 'generic_fuel_words', 'generic_viscosity', 'humidity_ratio', 'instruction_set', 'lewis_form_factor', 'lift_off', 'lift_off_columns', 'lift_off_numbers', 'longest_opening', 'measured_effectiveness', 'measured_efficiency', 'measured_work', 'needed_area', 'ordered_from_surge', 'outside_power_standard', 'power_correction', 'power_standard_objection', 'power_standards', 'predict_map', 'predicted_speeds', 'reduce_drive', 'reflected_inertia', 'relative_humidity_from_dew_point', 'require_each_once', 'run_cycles', 'run_engines', 'run_spark_searches', 'saturation_pressure', 'scaled', 'solve', 'solve_chains', 'spark_columns', 'spark_status_names', 'speed_line_from_points', 'standard_density', 'standard_pressure', 'standard_temperature', 'station_pressure', 'station_states', 'status_names', 'supply_columns', 'supply_points', 'throws_of', 'timed_columns', 'timed_pull', 'trace_columns', 'trace_cycle', 'valve_area']
class Refusal:
    """
    One thing that was refused, in parts.
    
    Parameters
    ----------
    where : str, default ''
        The station, or file and line.
    field : str, default ''
        Its name; empty where no single field is at fault.
    value : str, default ''
        As it was given, with its unit.
    rule : str, default ''
        What it must do or be, worded to follow 'must'.
    hint : str, default ''
        What to do instead.
    indices : dict[str, int]
        Which row or point is meant, such as {'speed line': 3, 'point': 4}; counted from 1.
    statement : str, default ''
        Told instead of indices, field and value where these would say too little.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, where: str = '', field: str = '', value: str = '', rule: str = '', hint: str = '', indices: dict[str, int] = ..., statement: str = '') -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def __str__(self) -> str:
        ...
    def replace(self, *, where: str = ..., field: str = ..., value: str = ..., rule: str = ..., hint: str = ..., indices: dict[str, int] = ..., statement: str = ...) -> Refusal:
        """
        The same with some values changed.
        """
    @property
    def field(self) -> str:
        """
        Its name; empty where no single field is at fault
        """
    @property
    def hint(self) -> str:
        """
        What to do instead
        """
    @property
    def indices(self) -> dict[str, int]:
        """
        Which row or point is meant, such as {'speed line': 3, 'point': 4}; counted from 1
        """
    @property
    def rule(self) -> str:
        """
        What it must do or be, worded to follow 'must'
        """
    @property
    def statement(self) -> str:
        """
        Told instead of indices, field and value where these would say too little
        """
    @property
    def value(self) -> str:
        """
        As it was given, with its unit
        """
    @property
    def where(self) -> str:
        """
        The station, or file and line
        """
class Curve:
    """
    A smooth monotone curve through points; outside its ends it keeps their values.
    
    Parameters
    ----------
    x : numpy.typing.ArrayLike
        Rising, in the unit of its use [SI].
    y : numpy.typing.ArrayLike
        One for every x, in the unit of its use [SI].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, x: numpy.typing.ArrayLike, y: numpy.typing.ArrayLike) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    def at(self, x: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Values at x.
        """
    @property
    def x(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Points [SI].
        """
    @property
    def y(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Values [SI].
        """
class Ambient:
    """
    The air the engine starts from: station (not sea-level) pressure, temperature, humidity.
    
    Parameters
    ----------
    pressure : float
        Absolute pressure at the station, as a barometer on site reads [Pa]; between 40000 and 110000 Pa.
    temperature : float
        Air temperature in the shade [K]; between 230 and 330 K.
    relative_humidity : float, default 0.0
        Vapour pressure over saturation pressure [dimensionless]; between 0 and 1.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, pressure: float, temperature: float, relative_humidity: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, pressure: float = ..., temperature: float = ..., relative_humidity: float = ...) -> Ambient:
        """
        The same with some values changed.
        """
    @property
    def humidity_ratio(self) -> float:
        """
        Water vapour per dry air by mass [dimensionless].
        """
    @property
    def pressure(self) -> float:
        """
        Absolute pressure at the station, as a barometer on site reads [Pa]; between 40000 and 110000 Pa
        """
    @property
    def relative_humidity(self) -> float:
        """
        Vapour pressure over saturation pressure [dimensionless]; between 0 and 1
        """
    @property
    def temperature(self) -> float:
        """
        Air temperature in the shade [K]; between 230 and 330 K
        """
class AirReport:
    """
    What a weather desk would say of the air.
    
    Parameters
    ----------
    density : float, default 0.0
        Of the humid air [kg/m^3].
    vapour_pressure : float, default 0.0
        Of the water [Pa].
    humidity_ratio : float, default 0.0
        Water vapour per dry air by mass [dimensionless].
    dew_point : float, default 0.0
        NaN in dry air, which has none [K].
    density_altitude : float, default 0.0
        Altitude at which the standard atmosphere has this density [m].
    speed_of_sound : float, default 0.0
        In the humid air [m/s].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, density: float = 0.0, vapour_pressure: float = 0.0, humidity_ratio: float = 0.0, dew_point: float = 0.0, density_altitude: float = 0.0, speed_of_sound: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, density: float = ..., vapour_pressure: float = ..., humidity_ratio: float = ..., dew_point: float = ..., density_altitude: float = ..., speed_of_sound: float = ...) -> AirReport:
        """
        The same with some values changed.
        """
    @property
    def density(self) -> float:
        """
        Of the humid air [kg/m^3]
        """
    @property
    def density_altitude(self) -> float:
        """
        Altitude at which the standard atmosphere has this density [m]
        """
    @property
    def dew_point(self) -> float:
        """
        NaN in dry air, which has none [K]
        """
    @property
    def humidity_ratio(self) -> float:
        """
        Water vapour per dry air by mass [dimensionless]
        """
    @property
    def speed_of_sound(self) -> float:
        """
        In the humid air [m/s]
        """
    @property
    def vapour_pressure(self) -> float:
        """
        Of the water [Pa]
        """
class Scoop:
    """
    Where the air enters: ram from the road wind and heat picked up under the bonnet.
    
        p0 = p + recovery rho v^2 / 2
    
    Parameters
    ----------
    air_speed : float, default 0.0
        Speed of the air against the scoop [m/s]; between 0 and 100 m/s.
    recovery : float, default 0.0
        Share of the dynamic pressure that the scoop recovers [dimensionless]; between 0 and 1.
    temperature_rise : float, default 0.0
        Air at the inlet above ambient, such as under a bonnet [K]; between 0 and 80 K.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, air_speed: float = 0.0, recovery: float = 0.0, temperature_rise: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, air_speed: float = ..., recovery: float = ..., temperature_rise: float = ...) -> Scoop:
        """
        The same with some values changed.
        """
    @property
    def air_speed(self) -> float:
        """
        Speed of the air against the scoop [m/s]; between 0 and 100 m/s
        """
    @property
    def recovery(self) -> float:
        """
        Share of the dynamic pressure that the scoop recovers [dimensionless]; between 0 and 1
        """
    @property
    def temperature_rise(self) -> float:
        """
        Air at the inlet above ambient, such as under a bonnet [K]; between 0 and 80 K
        """
class Duct:
    """
    Filter, pipe or bend: total pressure falls with the square of the flow.
    
        dp = K W^2 / (2 rho A^2), rho from the total state at the entry
    
    Range: dp below a third of the pressure. Left out: compressibility of the loss, Reynolds
    number, heat through the wall.
    
    Parameters
    ----------
    loss_coefficient : float, default 0.0
        Total pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 10000.
    area : float, default 0.01
        Flow area the loss coefficient refers to [m^2]; between 5e-05 and 10 m^2.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, loss_coefficient: float = 0.0, area: float = 0.01) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, loss_coefficient: float = ..., area: float = ...) -> Duct:
        """
        The same with some values changed.
        """
    @property
    def area(self) -> float:
        """
        Flow area the loss coefficient refers to [m^2]; between 5e-05 and 10 m^2
        """
    @property
    def loss_coefficient(self) -> float:
        """
        Total pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 10000
        """
class ReferenceState:
    """
    The air at which a map's corrected flow and corrected speed are told; by default dry air at
    sea level and 15 degC.
    
    Parameters
    ----------
    temperature : float, default 288.15
        Total temperature the corrected quantities refer to [K]; between 200 and 400 K.
    pressure : float, default 101325.0
        Total pressure the corrected quantities refer to, absolute [Pa]; between 20000 and 200000 Pa.
    gas_constant : float, default 287.0374694322786
        Gas constant of the reference gas [J/(kg K)]; between 200 and 500 J/(kg K).
    gamma : float, default 1.400255776176008
        Ratio of heat capacities of the reference gas [dimensionless]; between 1.05 and 1.7.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, temperature: float = 288.15, pressure: float = 101325.0, gas_constant: float = 287.0374694322786, gamma: float = 1.400255776176008) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, temperature: float = ..., pressure: float = ..., gas_constant: float = ..., gamma: float = ...) -> ReferenceState:
        """
        The same with some values changed.
        """
    @property
    def gamma(self) -> float:
        """
        Ratio of heat capacities of the reference gas [dimensionless]; between 1.05 and 1.7
        """
    @property
    def gas_constant(self) -> float:
        """
        Gas constant of the reference gas [J/(kg K)]; between 200 and 500 J/(kg K)
        """
    @property
    def pressure(self) -> float:
        """
        Total pressure the corrected quantities refer to, absolute [Pa]; between 20000 and 200000 Pa
        """
    @property
    def temperature(self) -> float:
        """
        Total temperature the corrected quantities refer to [K]; between 200 and 400 K
        """
class SpeedLine:
    """
    Points measured at one corrected speed, from the surge end to the choke end or back.
    
    Parameters
    ----------
    speed : float
        Corrected, of the impeller [rad/s].
    flow : numpy.typing.ArrayLike
        Corrected [kg/s].
    pressure_ratio : numpy.typing.ArrayLike
        Total to total [dimensionless].
    efficiency : numpy.typing.ArrayLike
        Isentropic, total to total [dimensionless].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, speed: float, flow: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, efficiency: numpy.typing.ArrayLike) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, speed: float = ..., flow: numpy.typing.ArrayLike = ..., pressure_ratio: numpy.typing.ArrayLike = ..., efficiency: numpy.typing.ArrayLike = ...) -> SpeedLine:
        """
        The same with some values changed.
        """
    @property
    def efficiency(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Isentropic, total to total [dimensionless]
        """
    @property
    def flow(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Corrected [kg/s]
        """
    @property
    def pressure_ratio(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Total to total [dimensionless]
        """
    @property
    def speed(self) -> float:
        """
        Corrected, of the impeller [rad/s]
        """
class MapData:
    """
    A compressor map as measured or typed in.
    
    Parameters
    ----------
    name : str, default ''
        What the map is called.
    reference : ReferenceState
        State of the corrected quantities.
    lines : list[SpeedLine]
        In rising order of speed.
    left_end : str, default 'last_point'
        What the leftmost points are: surge (measured), estimated or last_point.
    right_end : str, default 'last_point'
        What the rightmost points are: choke or last_point.
    tip_diameter : float, default 0.0
        Impeller exducer; 0 when not known [m].
    speed_limit : float, default 0.0
        Of the impeller, not corrected; 0 when not known [rad/s].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, name: str = '', reference: ReferenceState = ..., lines: list[SpeedLine], left_end: str = 'last_point', right_end: str = 'last_point', tip_diameter: float = 0.0, speed_limit: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, name: str = ..., reference: ReferenceState = ..., lines: list[SpeedLine] = ..., left_end: str = ..., right_end: str = ..., tip_diameter: float = ..., speed_limit: float = ...) -> MapData:
        """
        The same with some values changed.
        """
    @property
    def left_end(self) -> str:
        """
        What the leftmost points are: surge (measured), estimated or last_point
        """
    @property
    def lines(self) -> list[SpeedLine]:
        """
        In rising order of speed
        """
    @property
    def name(self) -> str:
        """
        What the map is called
        """
    @property
    def reference(self) -> ReferenceState:
        """
        State of the corrected quantities
        """
    @property
    def right_end(self) -> str:
        """
        What the rightmost points are: choke or last_point
        """
    @property
    def speed_limit(self) -> float:
        """
        Of the impeller, not corrected; 0 when not known [rad/s]
        """
    @property
    def tip_diameter(self) -> float:
        """
        Impeller exducer; 0 when not known [m]
        """
class MapPoint:
    """
    One point of a map at its reference state. Numbers are NaN unless its status is matched.
    
    Parameters
    ----------
    speed : float
        Corrected [rad/s].
    flow : float
        Corrected [kg/s].
    pressure_ratio : float
        Total to total [dimensionless].
    efficiency : float
        Isentropic [dimensionless].
    work : float
        Stagnation enthalpy rise [J/kg].
    c : float
        Place along the speed line, 0 at its left end, 1 at choke [dimensionless].
    status : str, default 'outside_map'
        Whether the point is on the map, or why not.
    flags : int, default 0
        Bits of flag_names [dimensionless].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, speed: float = ..., flow: float = ..., pressure_ratio: float = ..., efficiency: float = ..., work: float = ..., c: float = ..., status: str = 'outside_map', flags: int = 0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, speed: float = ..., flow: float = ..., pressure_ratio: float = ..., efficiency: float = ..., work: float = ..., c: float = ..., status: str = ..., flags: int = ...) -> MapPoint:
        """
        The same with some values changed.
        """
    @property
    def c(self) -> float:
        """
        Place along the speed line, 0 at its left end, 1 at choke [dimensionless]
        """
    @property
    def efficiency(self) -> float:
        """
        Isentropic [dimensionless]
        """
    @property
    def flags(self) -> int:
        """
        Bits of flag_names [dimensionless]
        """
    @property
    def flow(self) -> float:
        """
        Corrected [kg/s]
        """
    @property
    def pressure_ratio(self) -> float:
        """
        Total to total [dimensionless]
        """
    @property
    def speed(self) -> float:
        """
        Corrected [rad/s]
        """
    @property
    def status(self) -> str:
        """
        Whether the point is on the map, or why not
        """
    @property
    def work(self) -> float:
        """
        Stagnation enthalpy rise [J/kg]
        """
class CompressorMap:
    """
    A measured map: pressure ratio, efficiency and work over corrected speed and the place c
    along the speed line. Below the lowest line it is extrapolated by similarity and flagged.
    
    Parameters
    ----------
    data : MapData
        The points.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, data: MapData) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    def at(self, speed: typing.SupportsFloat | typing.SupportsIndex, c: typing.SupportsFloat | typing.SupportsIndex) -> MapPoint:
        """
        Point at a corrected speed [rad/s] and a place c from 0 to 1 [dimensionless].
        """
    def at_flow(self, speed: typing.SupportsFloat | typing.SupportsIndex, flow: typing.SupportsFloat | typing.SupportsIndex) -> MapPoint:
        """
        Point at a corrected speed [rad/s] and corrected flow [kg/s].
        """
    def choke_flow(self, speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Corrected flow [kg/s] at choke; NaN where the map does not know.
        """
    def grid(self, speeds: typing.SupportsInt | typing.SupportsIndex, places: typing.SupportsInt | typing.SupportsIndex) -> dict:
        """
        Arrays over speeds (rows) and places (columns) for contours: speed [rad/s], flow [kg/s], pressure_ratio, efficiency, work [J/kg], c.
        """
    def left_flow(self, speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Corrected flow [kg/s] at the left end of the line at a corrected speed [rad/s].
        """
    def peak_efficiency(self, speed: typing.SupportsFloat | typing.SupportsIndex) -> MapPoint:
        """
        Point of best efficiency at a corrected speed [rad/s].
        """
    def right_flow(self, speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Corrected flow [kg/s] at the right end of the line at a corrected speed [rad/s].
        """
    def surge_flow(self, speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Corrected flow [kg/s] at surge; NaN where the map does not know.
        """
    @property
    def data(self) -> MapData:
        """
        The points, checked and in order.
        """
    @property
    def design_speed(self) -> float:
        """
        Corrected speed of the highest line [rad/s].
        """
    @property
    def lowest_speed(self) -> float:
        """
        Corrected speed of the lowest line [rad/s].
        """
    @property
    def reference(self) -> ReferenceState:
        """
        State of the corrected quantities.
        """
class Impeller:
    """
    Dimensions of a centrifugal impeller with an axial inducer and no inlet swirl.
    
    Parameters
    ----------
    inlet_hub_radius : float
        Hub radius at the blade leading edge [m]; above 0 and at most 1 m.
    inlet_tip_radius : float
        Shroud radius at the blade leading edge [m]; above 0 and at most 1 m.
    inlet_hub_blade_angle : float
        Blade angle at the hub, from the axis [rad]; between 0 and 1.4 rad.
    inlet_tip_blade_angle : float
        Blade angle at the shroud, from the axis [rad]; between 0.2 and 1.4 rad.
    inlet_blade_thickness : float
        Blade thickness at the leading edge [m]; between 0 and 0.02 m.
    inducer_throat_area : float
        Smallest area between full blades, all passages [m^2]; above 0 and at most 1 m^2.
    exit_radius : float
        Tip radius at the exit [m]; above 0 and at most 1 m.
    exit_width : float
        Blade height at the exit [m]; above 0 and at most 0.2 m.
    exit_backsweep : float
        Blade angle at the exit, from the radius, positive against rotation [rad]; between -0.5 and 1.2 rad.
    exit_blade_thickness : float
        Blade thickness at the exit [m]; between 0 and 0.02 m.
    axial_length : float
        Axial length of the blades [m]; above 0 and at most 1 m.
    tip_clearance : float
        Running clearance to the shroud [m]; between 0 and 0.01 m.
    full_blades : float
        Number of full blades [dimensionless]; between 3 and 40.
    splitter_blades : float, default 0.0
        Number of splitter blades [dimensionless]; between 0 and 40.
    splitter_length_ratio : float, default 0.7
        Splitter length over full-blade length [dimensionless]; between 0 and 1.
    roughness : float, default 1e-05
        Equivalent sand-grain roughness of the wetted surfaces [m]; between 0 and 0.0005 m.
    inlet_blockage : float, default 0.02
        Share of the inlet annulus lost to boundary layers [dimensionless]; between 0 and 0.3.
    exit_blockage : float, default 0.05
        Share of the exit area lost to boundary layers, besides blade metal [dimensionless]; between 0 and 0.4.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, inlet_hub_radius: float, inlet_tip_radius: float, inlet_hub_blade_angle: float, inlet_tip_blade_angle: float, inlet_blade_thickness: float, inducer_throat_area: float, exit_radius: float, exit_width: float, exit_backsweep: float, exit_blade_thickness: float, axial_length: float, tip_clearance: float, full_blades: float, splitter_blades: float = 0.0, splitter_length_ratio: float = 0.7, roughness: float = 1e-05, inlet_blockage: float = 0.02, exit_blockage: float = 0.05) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, inlet_hub_radius: float = ..., inlet_tip_radius: float = ..., inlet_hub_blade_angle: float = ..., inlet_tip_blade_angle: float = ..., inlet_blade_thickness: float = ..., inducer_throat_area: float = ..., exit_radius: float = ..., exit_width: float = ..., exit_backsweep: float = ..., exit_blade_thickness: float = ..., axial_length: float = ..., tip_clearance: float = ..., full_blades: float = ..., splitter_blades: float = ..., splitter_length_ratio: float = ..., roughness: float = ..., inlet_blockage: float = ..., exit_blockage: float = ...) -> Impeller:
        """
        The same with some values changed.
        """
    @property
    def axial_length(self) -> float:
        """
        Axial length of the blades [m]; above 0 and at most 1 m
        """
    @property
    def exit_backsweep(self) -> float:
        """
        Blade angle at the exit, from the radius, positive against rotation [rad]; between -0.5 and 1.2 rad
        """
    @property
    def exit_blade_thickness(self) -> float:
        """
        Blade thickness at the exit [m]; between 0 and 0.02 m
        """
    @property
    def exit_blockage(self) -> float:
        """
        Share of the exit area lost to boundary layers, besides blade metal [dimensionless]; between 0 and 0.4
        """
    @property
    def exit_radius(self) -> float:
        """
        Tip radius at the exit [m]; above 0 and at most 1 m
        """
    @property
    def exit_width(self) -> float:
        """
        Blade height at the exit [m]; above 0 and at most 0.2 m
        """
    @property
    def full_blades(self) -> float:
        """
        Number of full blades [dimensionless]; between 3 and 40
        """
    @property
    def inducer_throat_area(self) -> float:
        """
        Smallest area between full blades, all passages [m^2]; above 0 and at most 1 m^2
        """
    @property
    def inlet_blade_thickness(self) -> float:
        """
        Blade thickness at the leading edge [m]; between 0 and 0.02 m
        """
    @property
    def inlet_blockage(self) -> float:
        """
        Share of the inlet annulus lost to boundary layers [dimensionless]; between 0 and 0.3
        """
    @property
    def inlet_hub_blade_angle(self) -> float:
        """
        Blade angle at the hub, from the axis [rad]; between 0 and 1.4 rad
        """
    @property
    def inlet_hub_radius(self) -> float:
        """
        Hub radius at the blade leading edge [m]; above 0 and at most 1 m
        """
    @property
    def inlet_tip_blade_angle(self) -> float:
        """
        Blade angle at the shroud, from the axis [rad]; between 0.2 and 1.4 rad
        """
    @property
    def inlet_tip_radius(self) -> float:
        """
        Shroud radius at the blade leading edge [m]; above 0 and at most 1 m
        """
    @property
    def roughness(self) -> float:
        """
        Equivalent sand-grain roughness of the wetted surfaces [m]; between 0 and 0.0005 m
        """
    @property
    def splitter_blades(self) -> float:
        """
        Number of splitter blades [dimensionless]; between 0 and 40
        """
    @property
    def splitter_length_ratio(self) -> float:
        """
        Splitter length over full-blade length [dimensionless]; between 0 and 1
        """
    @property
    def tip_clearance(self) -> float:
        """
        Running clearance to the shroud [m]; between 0 and 0.01 m
        """
class Vanes:
    """
    Vanes of the diffuser and what follows them.
    
    Parameters
    ----------
    leading_edge_angle : float
        Vane angle at the leading edge, from the radius [rad]; between 0.5 and 1.5 rad.
    throat_area : float
        Smallest area between vanes, all passages [m^2]; above 0 and at most 1 m^2.
    area_ratio : float
        Passage exit area over throat area [dimensionless]; between 1 and 6.
    exit_radius : float
        Trailing-edge radius [m]; above 0 and at most 2 m.
    exit_angle : float
        Flow angle leaving the vanes, from the radius [rad]; between 0 and 1.5 rad.
    downstream_loss_coefficient : float, default 0.0
        Total pressure lost after the vanes (bend, straighteners) over their exit dynamic pressure [dimensionless]; between 0 and 2.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, leading_edge_angle: float, throat_area: float, area_ratio: float, exit_radius: float, exit_angle: float, downstream_loss_coefficient: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, leading_edge_angle: float = ..., throat_area: float = ..., area_ratio: float = ..., exit_radius: float = ..., exit_angle: float = ..., downstream_loss_coefficient: float = ...) -> Vanes:
        """
        The same with some values changed.
        """
    @property
    def area_ratio(self) -> float:
        """
        Passage exit area over throat area [dimensionless]; between 1 and 6
        """
    @property
    def downstream_loss_coefficient(self) -> float:
        """
        Total pressure lost after the vanes (bend, straighteners) over their exit dynamic pressure [dimensionless]; between 0 and 2
        """
    @property
    def exit_angle(self) -> float:
        """
        Flow angle leaving the vanes, from the radius [rad]; between 0 and 1.5 rad
        """
    @property
    def exit_radius(self) -> float:
        """
        Trailing-edge radius [m]; above 0 and at most 2 m
        """
    @property
    def leading_edge_angle(self) -> float:
        """
        Vane angle at the leading edge, from the radius [rad]; between 0.5 and 1.5 rad
        """
    @property
    def throat_area(self) -> float:
        """
        Smallest area between vanes, all passages [m^2]; above 0 and at most 1 m^2
        """
class Diffuser:
    """
    The vaneless space behind the impeller, alone or up to the vanes.
    
    Parameters
    ----------
    inlet_width : float
        Passage width at the impeller exit [m]; above 0 and at most 0.2 m.
    exit_radius : float
        Radius where the vaneless space ends (the vane leading edge, if vaned) [m]; above 0 and at most 2 m.
    exit_width : float
        Passage width where the vaneless space ends [m]; above 0 and at most 0.2 m.
    vanes : Vanes | None, default None
        Vanes behind it, if any.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, inlet_width: float, exit_radius: float, exit_width: float, vanes: Vanes | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, inlet_width: float = ..., exit_radius: float = ..., exit_width: float = ..., vanes: Vanes | None = ...) -> Diffuser:
        """
        The same with some values changed.
        """
    @property
    def exit_radius(self) -> float:
        """
        Radius where the vaneless space ends (the vane leading edge, if vaned) [m]; above 0 and at most 2 m
        """
    @property
    def exit_width(self) -> float:
        """
        Passage width where the vaneless space ends [m]; above 0 and at most 0.2 m
        """
    @property
    def inlet_width(self) -> float:
        """
        Passage width at the impeller exit [m]; above 0 and at most 0.2 m
        """
    @property
    def vanes(self) -> Vanes | None:
        """
        Vanes behind it, if any
        """
class Volute:
    """
    A collecting volute and its exit cone.
    
    Parameters
    ----------
    throat_radius : float
        Radius of the centre of the full-collection section [m]; above 0 and at most 2 m.
    throat_area : float
        Area of the full-collection section [m^2]; above 0 and at most 1 m^2.
    exit_area : float
        Area at the discharge flange [m^2]; above 0 and at most 1 m^2.
    roughness : float, default 5e-05
        Equivalent sand-grain roughness of the casting [m]; between 0 and 0.001 m.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, throat_radius: float, throat_area: float, exit_area: float, roughness: float = 5e-05) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, throat_radius: float = ..., throat_area: float = ..., exit_area: float = ..., roughness: float = ...) -> Volute:
        """
        The same with some values changed.
        """
    @property
    def exit_area(self) -> float:
        """
        Area at the discharge flange [m^2]; above 0 and at most 1 m^2
        """
    @property
    def roughness(self) -> float:
        """
        Equivalent sand-grain roughness of the casting [m]; between 0 and 0.001 m
        """
    @property
    def throat_area(self) -> float:
        """
        Area of the full-collection section [m^2]; above 0 and at most 1 m^2
        """
    @property
    def throat_radius(self) -> float:
        """
        Radius of the centre of the full-collection section [m]; above 0 and at most 2 m
        """
class Stage:
    """
    Impeller, diffuser and, where there is one, volute.
    
    Parameters
    ----------
    impeller : Impeller
        The impeller.
    diffuser : Diffuser
        What follows it.
    volute : Volute | None, default None
        The volute, if any.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, impeller: Impeller, diffuser: Diffuser, volute: Volute | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, impeller: Impeller = ..., diffuser: Diffuser = ..., volute: Volute | None = ...) -> Stage:
        """
        The same with some values changed.
        """
    @property
    def diffuser(self) -> Diffuser:
        """
        What follows it
        """
    @property
    def impeller(self) -> Impeller:
        """
        The impeller
        """
    @property
    def volute(self) -> Volute | None:
        """
        The volute, if any
        """
class Compressor:
    """
    A compressor in the chain: its map and factors that a measurement may ask for.
    
        n = N / N_design sqrt((gamma R T)_ref / (gamma R T01))
        W = flow_scale phi n (p01 / p_ref) sqrt((R T / gamma)_ref / (R T01 / gamma))
        ln(p02 / p01) = head_scale L n^2
        h02 - h01 = (head_scale / efficiency_scale) w n^2 gamma R T01
    
    Left out: Reynolds number, heat from the case.
    
    Parameters
    ----------
    flow_scale : float, default 1.0
        Factor on the map's flow [dimensionless]; between 0.5 and 2.
    head_scale : float, default 1.0
        Factor on the map's logarithm of pressure ratio [dimensionless]; between 0.5 and 1.5.
    efficiency_scale : float, default 1.0
        Factor on the map's efficiency [dimensionless]; between 0.5 and 1.2.
    tip_speed_limit : float
        Speed of the impeller's rim that its material allows [m/s]; above 0 m/s.
    map : CompressorMap
        What was measured or predicted.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, flow_scale: float = 1.0, head_scale: float = 1.0, efficiency_scale: float = 1.0, tip_speed_limit: float = ..., map: CompressorMap) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, flow_scale: float = ..., head_scale: float = ..., efficiency_scale: float = ..., tip_speed_limit: float = ..., map: CompressorMap = ...) -> Compressor:
        """
        The same with some values changed.
        """
    @property
    def efficiency_scale(self) -> float:
        """
        Factor on the map's efficiency [dimensionless]; between 0.5 and 1.2
        """
    @property
    def flow_scale(self) -> float:
        """
        Factor on the map's flow [dimensionless]; between 0.5 and 2
        """
    @property
    def head_scale(self) -> float:
        """
        Factor on the map's logarithm of pressure ratio [dimensionless]; between 0.5 and 1.5
        """
    @property
    def map(self) -> CompressorMap:
        """
        What was measured or predicted
        """
    @property
    def tip_speed_limit(self) -> float:
        """
        Speed of the impeller's rim that its material allows [m/s]; above 0 m/s
        """
class GearPair:
    """
    Two spur or helical gears in external mesh; they reverse the sense of rotation.
    
    Parameters
    ----------
    driving_teeth : float
        Teeth of the gear on the crank's side, a whole number [dimensionless]; between 8 and 200.
    driven_teeth : float
        Teeth of the gear on the impeller's side, a whole number [dimensionless]; between 8 and 200.
    efficiency : float, default 0.98
        Power out over power in [dimensionless]; above 0.5 and at most 1.
    module : float, default 0.0
        Pitch diameter over teeth; 0 when not known [m]; between 0 and 0.05 m.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, driving_teeth: float, driven_teeth: float, efficiency: float = 0.98, module: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def flipped(self) -> GearPair:
        """
        The same two gears changed over: the reciprocal ratio.
        """
    def replace(self, *, driving_teeth: float = ..., driven_teeth: float = ..., efficiency: float = ..., module: float = ...) -> GearPair:
        """
        The same with some values changed.
        """
    @property
    def centre_distance(self) -> float:
        """
        Between the shafts [m]; 0 when the module is not known.
        """
    @property
    def driven_teeth(self) -> float:
        """
        Teeth of the gear on the impeller's side, a whole number [dimensionless]; between 8 and 200
        """
    @property
    def driving_teeth(self) -> float:
        """
        Teeth of the gear on the crank's side, a whole number [dimensionless]; between 8 and 200
        """
    @property
    def efficiency(self) -> float:
        """
        Power out over power in [dimensionless]; above 0.5 and at most 1
        """
    @property
    def module(self) -> float:
        """
        Pitch diameter over teeth; 0 when not known [m]; between 0 and 0.05 m
        """
    @property
    def ratio(self) -> float:
        """
        Speed out over speed in [dimensionless].
        """
class StepUp:
    """
    A step-up inside the compressor's case.
    
    Parameters
    ----------
    speed_ratio : float
        Impeller speed over input shaft speed [dimensionless]; between 0.05 and 50.
    efficiency : float, default 0.98
        Power out over power in [dimensionless]; above 0.5 and at most 1.
    reversing : float, default 0.0
        1 when the impeller turns against the input shaft, else 0 [dimensionless]; between 0 and 1.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, speed_ratio: float, efficiency: float = 0.98, reversing: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, speed_ratio: float = ..., efficiency: float = ..., reversing: float = ...) -> StepUp:
        """
        The same with some values changed.
        """
    @property
    def efficiency(self) -> float:
        """
        Power out over power in [dimensionless]; above 0.5 and at most 1
        """
    @property
    def ratio(self) -> float:
        """
        Speed out over speed in [dimensionless].
        """
    @property
    def reversing(self) -> float:
        """
        1 when the impeller turns against the input shaft, else 0 [dimensionless]; between 0 and 1
        """
    @property
    def speed_ratio(self) -> float:
        """
        Impeller speed over input shaft speed [dimensionless]; between 0.05 and 50
        """
class PulleyPair:
    """
    Two pulleys and a belt. A ribbed belt holds by friction and slips; a toothed one does not
    slip but jumps or shears at its rated tension.
    
        ribbed: tension_capacity = 2 T0 (e^(mu theta) - 1)/(e^(mu theta) + 1)
    
    Parameters
    ----------
    driving_diameter : float
        Pitch diameter on the crank's side [m]; between 0.02 and 1 m.
    driven_diameter : float
        Pitch diameter on the impeller's side [m]; between 0.02 and 1 m.
    slip : float, default 0.0
        Share of the driven speed lost; 0 for a toothed belt [dimensionless]; between 0 and 0.3.
    efficiency : float, default 0.97
        Torque that arrives over torque without losses, slip apart [dimensionless]; above 0.5 and at most 1.
    centre_distance : float, default 0.0
        Between the shafts; 0 when not known [m]; between 0 and 2 m.
    friction_coefficient : float, default 0.0
        Effective, of a ribbed belt in its grooves; 0 for a toothed belt [dimensionless]; between 0 and 3.
    static_tension : float, default 0.0
        Of one strand of a ribbed belt at rest; 0 when not known [N]; between 0 and 20000 N.
    rated_tension : float, default 0.0
        Working tension of a toothed belt; 0 for a ribbed belt [N]; between 0 and 50000 N.
    belt_mass_per_length : float, default 0.0
        0 neglects the tension that centrifugal force takes [kg/m]; between 0 and 5 kg/m.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, driving_diameter: float, driven_diameter: float, slip: float = 0.0, efficiency: float = 0.97, centre_distance: float = 0.0, friction_coefficient: float = 0.0, static_tension: float = 0.0, rated_tension: float = 0.0, belt_mass_per_length: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, driving_diameter: float = ..., driven_diameter: float = ..., slip: float = ..., efficiency: float = ..., centre_distance: float = ..., friction_coefficient: float = ..., static_tension: float = ..., rated_tension: float = ..., belt_mass_per_length: float = ...) -> PulleyPair:
        """
        The same with some values changed.
        """
    @property
    def belt_length(self) -> float:
        """
        Of the open belt around both pulleys [m]; NaN when the centre distance is not known.
        """
    @property
    def belt_mass_per_length(self) -> float:
        """
        0 neglects the tension that centrifugal force takes [kg/m]; between 0 and 5 kg/m
        """
    @property
    def centre_distance(self) -> float:
        """
        Between the shafts; 0 when not known [m]; between 0 and 2 m
        """
    @property
    def driven_diameter(self) -> float:
        """
        Pitch diameter on the impeller's side [m]; between 0.02 and 1 m
        """
    @property
    def driving_diameter(self) -> float:
        """
        Pitch diameter on the crank's side [m]; between 0.02 and 1 m
        """
    @property
    def efficiency(self) -> float:
        """
        Torque that arrives over torque without losses, slip apart [dimensionless]; above 0.5 and at most 1
        """
    @property
    def friction_coefficient(self) -> float:
        """
        Effective, of a ribbed belt in its grooves; 0 for a toothed belt [dimensionless]; between 0 and 3
        """
    @property
    def rated_tension(self) -> float:
        """
        Working tension of a toothed belt; 0 for a ribbed belt [N]; between 0 and 50000 N
        """
    @property
    def ratio(self) -> float:
        """
        Speed out over speed in [dimensionless].
        """
    @property
    def slip(self) -> float:
        """
        Share of the driven speed lost; 0 for a toothed belt [dimensionless]; between 0 and 0.3
        """
    @property
    def static_tension(self) -> float:
        """
        Of one strand of a ribbed belt at rest; 0 when not known [N]; between 0 and 20000 N
        """
    @property
    def tension_capacity(self) -> float:
        """
        Effective tension it can carry at rest [N]; infinite when nothing was given.
        """
    @property
    def wrap_angle(self) -> float:
        """
        On the smaller pulley [rad]; half a turn when the centre distance is not known.
        """
class Drive:
    """
    The train from crank to impeller, reduced to what a match needs.
    
        rotor speed = drive_ratio step_up crank speed, P_crank = P_rotor / efficiency
    
    Parameters
    ----------
    drive_ratio : float, default 1.0
        Compressor input shaft speed over crank speed: gears and pulleys outside it [dimensionless]; between 0.05 and 20.
    step_up : float, default 1.0
        Impeller speed over compressor input shaft speed [dimensionless]; between 0.05 and 50.
    efficiency : float, default 0.97
        Power at the impeller over power taken from the crank, without the drag [dimensionless]; above 0.3 and at most 1.
    drag_torque : float, default 0.0
        Torque of bearings and seals at the impeller, present without boost [N m]; between 0 and 5 N m.
    inertia : float, default 0.0
        Of everything that turns at impeller speed [kg m^2]; between 0 and 1 kg m^2.
    rotor_speed_limit : float
        The maker's limit of impeller speed [rad/s]; above 0 rad/s.
    belts : tuple[tuple[float, float, float, float], ...]
        Belts of the train as `reduce_drive` found them: belt speed over crank speed [m], power over rotor power, tension capacity at rest [N], capacity lost per belt speed squared [kg/m].
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, drive_ratio: float = 1.0, step_up: float = 1.0, efficiency: float = 0.97, drag_torque: float = 0.0, inertia: float = 0.0, rotor_speed_limit: float = ..., belts: tuple[tuple[float, float, float, float], ...] = ...) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, drive_ratio: float = ..., step_up: float = ..., efficiency: float = ..., drag_torque: float = ..., inertia: float = ..., rotor_speed_limit: float = ..., belts: tuple[tuple[float, float, float, float], ...] = ...) -> Drive:
        """
        The same with some values changed.
        """
    @property
    def belts(self) -> tuple[tuple[float, float, float, float], ...]:
        """
        Belts of the train as `reduce_drive` found them: belt speed over crank speed [m], power over rotor power, tension capacity at rest [N], capacity lost per belt speed squared [kg/m]
        """
    @property
    def drag_torque(self) -> float:
        """
        Torque of bearings and seals at the impeller, present without boost [N m]; between 0 and 5 N m
        """
    @property
    def drive_ratio(self) -> float:
        """
        Compressor input shaft speed over crank speed: gears and pulleys outside it [dimensionless]; between 0.05 and 20
        """
    @property
    def efficiency(self) -> float:
        """
        Power at the impeller over power taken from the crank, without the drag [dimensionless]; above 0.3 and at most 1
        """
    @property
    def inertia(self) -> float:
        """
        Of everything that turns at impeller speed [kg m^2]; between 0 and 1 kg m^2
        """
    @property
    def rotor_speed_limit(self) -> float:
        """
        The maker's limit of impeller speed [rad/s]; above 0 rad/s
        """
    @property
    def speed_ratio(self) -> float:
        """
        Impeller speed over crank speed [dimensionless].
        """
    @property
    def step_up(self) -> float:
        """
        Impeller speed over compressor input shaft speed [dimensionless]; between 0.05 and 50
        """
class LinkLoad:
    """
    What one link of the train sees at a running point.
    
    Parameters
    ----------
    speed_in : float, default 0.0
        Of the shaft on the crank's side [rad/s].
    speed_out : float, default 0.0
        Of the shaft on the impeller's side [rad/s].
    torque_in : float, default 0.0
        On the crank's side [N m].
    torque_out : float, default 0.0
        On the impeller's side [N m].
    power_in : float, default 0.0
        On the crank's side [W].
    power_loss : float, default 0.0
        Lost in the link [W].
    pitch_line_speed : float, default 0.0
        Of gears at the pitch circle, of belts; NaN if unknown [m/s].
    effective_tension : float, default 0.0
        Of belts tight less slack side, of gears the tangential tooth force [N].
    tension_capacity : float, default 0.0
        What a belt can carry here; infinite when not given [N].
    shaft_load : float, default 0.0
        Of belts the sum of both sides on the shaft; NaN when unknown [N].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, speed_in: float = 0.0, speed_out: float = 0.0, torque_in: float = 0.0, torque_out: float = 0.0, power_in: float = 0.0, power_loss: float = 0.0, pitch_line_speed: float = 0.0, effective_tension: float = 0.0, tension_capacity: float = 0.0, shaft_load: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, speed_in: float = ..., speed_out: float = ..., torque_in: float = ..., torque_out: float = ..., power_in: float = ..., power_loss: float = ..., pitch_line_speed: float = ..., effective_tension: float = ..., tension_capacity: float = ..., shaft_load: float = ...) -> LinkLoad:
        """
        The same with some values changed.
        """
    @property
    def effective_tension(self) -> float:
        """
        Of belts tight less slack side, of gears the tangential tooth force [N]
        """
    @property
    def pitch_line_speed(self) -> float:
        """
        Of gears at the pitch circle, of belts; NaN if unknown [m/s]
        """
    @property
    def power_in(self) -> float:
        """
        On the crank's side [W]
        """
    @property
    def power_loss(self) -> float:
        """
        Lost in the link [W]
        """
    @property
    def shaft_load(self) -> float:
        """
        Of belts the sum of both sides on the shaft; NaN when unknown [N]
        """
    @property
    def speed_in(self) -> float:
        """
        Of the shaft on the crank's side [rad/s]
        """
    @property
    def speed_out(self) -> float:
        """
        Of the shaft on the impeller's side [rad/s]
        """
    @property
    def tension_capacity(self) -> float:
        """
        What a belt can carry here; infinite when not given [N]
        """
    @property
    def torque_in(self) -> float:
        """
        On the crank's side [N m]
        """
    @property
    def torque_out(self) -> float:
        """
        On the impeller's side [N m]
        """
class GearTeeth:
    """
    What the teeth of a gear pair are made of and how well they are cut and mounted.
    
        bending s = F Ko Kv Ks KH / (b m J), contact s = Ze sqrt(F Ko Kv Ks KH / (d1 b I))
    
    [AGMA 2001-D04 as in Shigley, ch. 14]. Left out: helix, profile shift, thin rims, scuffing,
    wear.
    
    Parameters
    ----------
    face_width : float
        Of the narrower gear [m]; between 0.002 and 0.2 m.
    allowable_bending : float
        Bending stress the root carries for the life, temperature and reliability wanted [Pa]; between 1e+07 and 2e+09 Pa.
    allowable_contact : float
        Contact stress the flank carries, likewise [Pa]; between 1e+08 and 5e+09 Pa.
    torsional_factor : float
        Peak over mean tooth force: what the crank's torsional vibration adds (the overload factor of AGMA) [dimensionless]; between 1 and 5.
    quality : float, default 8.0
        AGMA quality number, higher finer [dimensionless]; between 5 and 11.
    load_distribution : float, default 1.3
        Load at the worst place of the face over its mean [dimensionless]; between 1 and 4.
    size_factor : float, default 1.0
        1 for small teeth [dimensionless]; between 1 and 2.
    pressure_angle : float, default 0.3490658503988659
        Of the teeth [rad]; between 0.2 and 0.6 rad.
    driving_geometry_factor : float, default 0.0
        AGMA's J of the driving gear; 0 takes Lewis' form factor, loaded at the tip [dimensionless]; between 0 and 1.
    driven_geometry_factor : float, default 0.0
        The same of the driven gear [dimensionless]; between 0 and 1.
    elastic_coefficient : float, default 191000.0
        191 MPa^0.5 for steel on steel [Pa^0.5]; between 10000 and 1e+06 Pa^0.5.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, face_width: float, allowable_bending: float, allowable_contact: float, torsional_factor: float, quality: float = 8.0, load_distribution: float = 1.3, size_factor: float = 1.0, pressure_angle: float = 0.3490658503988659, driving_geometry_factor: float = 0.0, driven_geometry_factor: float = 0.0, elastic_coefficient: float = 191000.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def dynamic_factor(self, pitch_line_speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Real over nominal tooth force at a pitch-line speed [m/s].
        """
    def flipped(self) -> GearTeeth:
        """
        The same teeth with the gears changed over.
        """
    def replace(self, *, face_width: float = ..., allowable_bending: float = ..., allowable_contact: float = ..., torsional_factor: float = ..., quality: float = ..., load_distribution: float = ..., size_factor: float = ..., pressure_angle: float = ..., driving_geometry_factor: float = ..., driven_geometry_factor: float = ..., elastic_coefficient: float = ...) -> GearTeeth:
        """
        The same with some values changed.
        """
    @property
    def allowable_bending(self) -> float:
        """
        Bending stress the root carries for the life, temperature and reliability wanted [Pa]; between 1e+07 and 2e+09 Pa
        """
    @property
    def allowable_contact(self) -> float:
        """
        Contact stress the flank carries, likewise [Pa]; between 1e+08 and 5e+09 Pa
        """
    @property
    def driven_geometry_factor(self) -> float:
        """
        The same of the driven gear [dimensionless]; between 0 and 1
        """
    @property
    def driving_geometry_factor(self) -> float:
        """
        AGMA's J of the driving gear; 0 takes Lewis' form factor, loaded at the tip [dimensionless]; between 0 and 1
        """
    @property
    def elastic_coefficient(self) -> float:
        """
        191 MPa^0.5 for steel on steel [Pa^0.5]; between 10000 and 1e+06 Pa^0.5
        """
    @property
    def face_width(self) -> float:
        """
        Of the narrower gear [m]; between 0.002 and 0.2 m
        """
    @property
    def fastest_pitch_line(self) -> float:
        """
        Pitch-line speed up to which this quality is rated [m/s].
        """
    @property
    def load_distribution(self) -> float:
        """
        Load at the worst place of the face over its mean [dimensionless]; between 1 and 4
        """
    @property
    def pressure_angle(self) -> float:
        """
        Of the teeth [rad]; between 0.2 and 0.6 rad
        """
    @property
    def quality(self) -> float:
        """
        AGMA quality number, higher finer [dimensionless]; between 5 and 11
        """
    @property
    def size_factor(self) -> float:
        """
        1 for small teeth [dimensionless]; between 1 and 2
        """
    @property
    def torsional_factor(self) -> float:
        """
        Peak over mean tooth force: what the crank's torsional vibration adds (the overload factor of AGMA) [dimensionless]; between 1 and 5
        """
class GearStress:
    """
    Stresses of a mesh, and what its load could grow to.
    
    Parameters
    ----------
    dynamic_factor : float, default 0.0
        Real over nominal tooth force [dimensionless].
    driving_bending : float, default 0.0
        At the driving gear's root [Pa].
    driven_bending : float, default 0.0
        At the driven gear's root [Pa].
    contact : float, default 0.0
        At the flanks [Pa].
    bending_capacity : float, default 0.0
        Load that the weaker root carries over the load [dimensionless].
    contact_capacity : float, default 0.0
        Load that the flanks carry over the load [dimensionless].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, dynamic_factor: float = 0.0, driving_bending: float = 0.0, driven_bending: float = 0.0, contact: float = 0.0, bending_capacity: float = 0.0, contact_capacity: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, dynamic_factor: float = ..., driving_bending: float = ..., driven_bending: float = ..., contact: float = ..., bending_capacity: float = ..., contact_capacity: float = ...) -> GearStress:
        """
        The same with some values changed.
        """
    @property
    def bending_capacity(self) -> float:
        """
        Load that the weaker root carries over the load [dimensionless]
        """
    @property
    def contact(self) -> float:
        """
        At the flanks [Pa]
        """
    @property
    def contact_capacity(self) -> float:
        """
        Load that the flanks carry over the load [dimensionless]
        """
    @property
    def driven_bending(self) -> float:
        """
        At the driven gear's root [Pa]
        """
    @property
    def driving_bending(self) -> float:
        """
        At the driving gear's root [Pa]
        """
    @property
    def dynamic_factor(self) -> float:
        """
        Real over nominal tooth force [dimensionless]
        """
class Cooler:
    """
    Charge cooler: effectiveness on the charge side, pressure loss as of a duct.
    
        T_out = T_in - e (T_in - T_coolant), e = effectiveness shape(mass flow)
    
    Left out: heat stored in the core, change of the curve with inlet temperature.
    
    Parameters
    ----------
    effectiveness : float, default 0.0
        Temperature drop over inlet minus coolant temperature; the factor on its curve when it varies with flow [dimensionless]; between 0 and 1.
    coolant_temperature : float, default 293.15
        Of the coolant as it enters; unused when cooled by ambient air [K]; between 230 and 420 K.
    coolant_rise : float, default 0.0
        Cooling air above ambient as it enters, for a cooler in the air stream [K]; between -5 and 80 K.
    loss_coefficient : float, default 0.0
        Charge pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 10000.
    area : float, default 0.01
        Flow area the loss coefficient refers to [m^2]; between 5e-05 and 10 m^2.
    shape : Curve | None, default None
        Effectiveness against charge flow [kg/s], before the factor; None when it does not vary.
    ambient_cooled : bool, default False
        True when ambient air cools it, False for a coolant of its own.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, effectiveness: float = 0.0, coolant_temperature: float = 293.15, coolant_rise: float = 0.0, loss_coefficient: float = 0.0, area: float = 0.01, shape: Curve | None = None, ambient_cooled: bool = False) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def coolant(self, ambient_temperature: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Temperature [K] of the coolant as it enters, at an ambient temperature [K].
        """
    def replace(self, *, effectiveness: float = ..., coolant_temperature: float = ..., coolant_rise: float = ..., loss_coefficient: float = ..., area: float = ..., shape: Curve | None = ..., ambient_cooled: bool = ...) -> Cooler:
        """
        The same with some values changed.
        """
    @property
    def ambient_cooled(self) -> bool:
        """
        True when ambient air cools it, False for a coolant of its own
        """
    @property
    def area(self) -> float:
        """
        Flow area the loss coefficient refers to [m^2]; between 5e-05 and 10 m^2
        """
    @property
    def coolant_rise(self) -> float:
        """
        Cooling air above ambient as it enters, for a cooler in the air stream [K]; between -5 and 80 K
        """
    @property
    def coolant_temperature(self) -> float:
        """
        Of the coolant as it enters; unused when cooled by ambient air [K]; between 230 and 420 K
        """
    @property
    def effectiveness(self) -> float:
        """
        Temperature drop over inlet minus coolant temperature; the factor on its curve when it varies with flow [dimensionless]; between 0 and 1
        """
    @property
    def loss_coefficient(self) -> float:
        """
        Charge pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 10000
        """
    @property
    def shape(self) -> Curve | None:
        """
        Effectiveness against charge flow [kg/s], before the factor; None when it does not vary
        """
class TankState:
    """
    What a tank holds at one instant.
    
    Parameters
    ----------
    water_mass : float, default 0.0
        Liquid water [kg].
    ice_mass : float, default 0.0
        Ice [kg].
    water_temperature : float, default 0.0
        Of the water [K].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, water_mass: float = 0.0, ice_mass: float = 0.0, water_temperature: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, water_mass: float = ..., ice_mass: float = ..., water_temperature: float = ...) -> TankState:
        """
        The same with some values changed.
        """
    @property
    def ice_mass(self) -> float:
        """
        Ice [kg]
        """
    @property
    def water_mass(self) -> float:
        """
        Liquid water [kg]
        """
    @property
    def water_temperature(self) -> float:
        """
        Of the water [K]
        """
class IceTank:
    """
    Well-mixed tank of water with ice that feeds an air-to-water cooler.
    
        m c dT/dt = heat - UA_ice (T - T_ice) - (melt water warmed)
        dm_ice/dt = -UA_ice (T - T_ice)/h_if
    
    Left out: heat through the tank's walls, pump work, stratification.
    
    Parameters
    ----------
    water_mass : float
        Water in tank, lines and core before the run [kg]; above 0 and at most 1000 kg.
    ice_mass : float, default 0.0
        Ice in the tank before the run [kg]; between 0 and 1000 kg.
    water_temperature : float
        Water before the run [K]; between 273.15 and 370 K.
    ice_conductance : float, default 20000.0
        Heat transfer coefficient times surface of the ice before the run [W/K]; between 0 and 1e+06 W/K.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, water_mass: float, ice_mass: float = 0.0, water_temperature: float, ice_conductance: float = 20000.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def after(self, state: TankState, heat: typing.SupportsFloat | typing.SupportsIndex, duration: typing.SupportsFloat | typing.SupportsIndex) -> TankState:
        """
        State after a duration [s] while the cooler puts in heat [W].
        """
    def energy(self, state: TankState) -> float:
        """
        Energy [J] of a state against liquid water at 0 degC.
        """
    def replace(self, *, water_mass: float = ..., ice_mass: float = ..., water_temperature: float = ..., ice_conductance: float = ...) -> IceTank:
        """
        The same with some values changed.
        """
    def start(self) -> TankState:
        """
        State before the run.
        """
    @property
    def ice_conductance(self) -> float:
        """
        Heat transfer coefficient times surface of the ice before the run [W/K]; between 0 and 1e+06 W/K
        """
    @property
    def ice_mass(self) -> float:
        """
        Ice in the tank before the run [kg]; between 0 and 1000 kg
        """
    @property
    def water_mass(self) -> float:
        """
        Water in tank, lines and core before the run [kg]; above 0 and at most 1000 kg
        """
    @property
    def water_temperature(self) -> float:
        """
        Water before the run [K]; between 273.15 and 370 K
        """
class Throttle:
    """
    Throttle plates into the plenum: a nozzle whose jet is lost.
    
        r = rc + (1 - rc) sqrt(1 - (y / ymax)^2)
    
    r is plenum over upstream total pressure, y the flow parameter W sqrt(R T) / p upstream;
    within 0.31 % of the isentropic nozzle's flow for a gas of gamma 1.4.
    
    Parameters
    ----------
    area : float, default 0.02
        Flow area of all blades wide open [m^2]; between 5e-05 and 1 m^2.
    discharge_coefficient : float, default 0.9
        Effective over geometric area [dimensionless]; above 0 and at most 1.
    opening : float, default 1.0
        Open share of the area; 1 is wide open [dimensionless]; above 0 and at most 1.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, area: float = 0.02, discharge_coefficient: float = 0.9, opening: float = 1.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, area: float = ..., discharge_coefficient: float = ..., opening: float = ...) -> Throttle:
        """
        The same with some values changed.
        """
    @property
    def area(self) -> float:
        """
        Flow area of all blades wide open [m^2]; between 5e-05 and 1 m^2
        """
    @property
    def discharge_coefficient(self) -> float:
        """
        Effective over geometric area [dimensionless]; above 0 and at most 1
        """
    @property
    def opening(self) -> float:
        """
        Open share of the area; 1 is wide open [dimensionless]; above 0 and at most 1
        """
class Fuel:
    """
    A generic fuel C_1 H_y O_z: what the chain needs of it.
    
    Parameters
    ----------
    hydrogen_ratio : float
        Hydrogen atoms per carbon atom [dimensionless]; between 0 and 4.
    oxygen_ratio : float, default 0.0
        Oxygen atoms per carbon atom [dimensionless]; between 0 and 1.
    vapour_molar_mass : float
        Mean of the vapour, which displaces air [kg/mol]; between 0.02 and 0.2 kg/mol.
    lower_heating_value : float
        Heat of combustion of the liquid, water as vapour [J/kg]; between 1e+07 and 5e+07 J/kg.
    latent_heat : float
        Heat of vaporization at 25 degC [J/kg]; between 100000 and 1.5e+06 J/kg.
    vapour_pressure : float
        Over the liquid at 25 degC; of a gasoline with some 40 % evaporated [Pa]; between 10 and 100000 Pa.
    density : float
        Liquid at 15 degC [kg/m^3]; between 600 and 900 kg/m^3.
    vapour_heat_capacity : float, default 1600.0
        Of the vapour near 350 K [J/(kg K)]; between 800 and 3000 J/(kg K).
    liquid_heat_capacity : float, default 2200.0
        Of the liquid near 300 K [J/(kg K)]; between 1500 and 3500 J/(kg K).
    research_octane : float
        Research octane number [dimensionless]; between 50 and 130.
    motor_octane : float
        Motor octane number [dimensionless]; between 50 and 130.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, hydrogen_ratio: float, oxygen_ratio: float = 0.0, vapour_molar_mass: float, lower_heating_value: float, latent_heat: float, vapour_pressure: float, density: float, vapour_heat_capacity: float = 1600.0, liquid_heat_capacity: float = 2200.0, research_octane: float, motor_octane: float) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, hydrogen_ratio: float = ..., oxygen_ratio: float = ..., vapour_molar_mass: float = ..., lower_heating_value: float = ..., latent_heat: float = ..., vapour_pressure: float = ..., density: float = ..., vapour_heat_capacity: float = ..., liquid_heat_capacity: float = ..., research_octane: float = ..., motor_octane: float = ...) -> Fuel:
        """
        The same with some values changed.
        """
    @property
    def density(self) -> float:
        """
        Liquid at 15 degC [kg/m^3]; between 600 and 900 kg/m^3
        """
    @property
    def hydrogen_ratio(self) -> float:
        """
        Hydrogen atoms per carbon atom [dimensionless]; between 0 and 4
        """
    @property
    def latent_heat(self) -> float:
        """
        Heat of vaporization at 25 degC [J/kg]; between 100000 and 1.5e+06 J/kg
        """
    @property
    def liquid_heat_capacity(self) -> float:
        """
        Of the liquid near 300 K [J/(kg K)]; between 1500 and 3500 J/(kg K)
        """
    @property
    def lower_heating_value(self) -> float:
        """
        Heat of combustion of the liquid, water as vapour [J/kg]; between 1e+07 and 5e+07 J/kg
        """
    @property
    def motor_octane(self) -> float:
        """
        Motor octane number [dimensionless]; between 50 and 130
        """
    @property
    def oxygen_ratio(self) -> float:
        """
        Oxygen atoms per carbon atom [dimensionless]; between 0 and 1
        """
    @property
    def research_octane(self) -> float:
        """
        Research octane number [dimensionless]; between 50 and 130
        """
    @property
    def stoichiometric_ratio(self) -> float:
        """
        Dry air per fuel by mass that burns it completely [dimensionless].
        """
    @property
    def vapour_heat_capacity(self) -> float:
        """
        Of the vapour near 350 K [J/(kg K)]; between 800 and 3000 J/(kg K)
        """
    @property
    def vapour_molar_mass(self) -> float:
        """
        Mean of the vapour, which displaces air [kg/mol]; between 0.02 and 0.2 kg/mol
        """
    @property
    def vapour_pressure(self) -> float:
        """
        Over the liquid at 25 degC; of a gasoline with some 40 % evaporated [Pa]; between 10 and 100000 Pa
        """
class Injection:
    """
    How the fuel is put in. It evaporates as far as is typed, or as the air can hold;
    the rest enters the cylinder as liquid.
    
    Parameters
    ----------
    lambda_ : float, default 0.88
        Air-fuel ratio over the stoichiometric one [dimensionless]; between 0.5 and 1.5.
    evaporated_fraction : float, default 0.35
        Share of the fuel that evaporates before the inlet valve closes, as far as the air can hold it; common practice 0.3 to 0.6 [dimensionless]; between 0 and 1.
    fuel_temperature : float, default 298.15
        Of the liquid as it is injected [K]; between 240 and 350 K.
    place : str, default 'port'
        Where the fuel meets the air: before_compressor, plenum or port.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getattr__(self, arg0: str) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, lambda_: float = 0.88, evaporated_fraction: float = 0.35, fuel_temperature: float = 298.15, place: str = 'port') -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, lambda_: float = ..., evaporated_fraction: float = ..., fuel_temperature: float = ..., place: str = ...) -> Injection:
        """
        The same with some values changed.
        """
    @property
    def evaporated_fraction(self) -> float:
        """
        Share of the fuel that evaporates before the inlet valve closes, as far as the air can hold it; common practice 0.3 to 0.6 [dimensionless]; between 0 and 1
        """
    @property
    def fuel_temperature(self) -> float:
        """
        Of the liquid as it is injected [K]; between 240 and 350 K
        """
    @property
    def lambda_(self) -> float:
        """
        Air-fuel ratio over the stoichiometric one [dimensionless]; between 0.5 and 1.5
        """
    @property
    def place(self) -> str:
        """
        Where the fuel meets the air: before_compressor, plenum or port
        """
class Injector:
    """
    A solenoid injector, held open for a time that is longer by its dead time.
    
        W = W_rated sqrt(dp/dp_rated rho/rho_rated)
        open time = fuel mass/W + dead time(voltage, dp)
    
    Parameters
    ----------
    rated_flow : float
        Held open, with the liquid it was rated with [kg/s]; above 0 and at most 1 kg/s.
    rated_pressure : float
        Difference of pressure across it when it was rated [Pa]; between 10000 and 5e+07 Pa.
    rated_density : float
        Of the liquid it was rated with [kg/m^3]; between 600 and 1100 kg/m^3.
    dead_time : tuple[list[float], list[float], list[list[float]]] | None
        Voltages [V], pressure differences [Pa], and a row of dead times [s] for each voltage.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, rated_flow: float, rated_pressure: float, rated_density: float, dead_time: tuple[list[float], list[float], list[list[float]]] | None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, rated_flow: float = ..., rated_pressure: float = ..., rated_density: float = ..., dead_time: tuple[list[float], list[float], list[list[float]]] | None = ...) -> Injector:
        """
        The same with some values changed.
        """
    @property
    def dead_time(self) -> tuple[list[float], list[float], list[list[float]]] | None:
        """
        Voltages [V], pressure differences [Pa], and a row of dead times [s] for each voltage
        """
    @property
    def rated_density(self) -> float:
        """
        Of the liquid it was rated with [kg/m^3]; between 600 and 1100 kg/m^3
        """
    @property
    def rated_flow(self) -> float:
        """
        Held open, with the liquid it was rated with [kg/s]; above 0 and at most 1 kg/s
        """
    @property
    def rated_pressure(self) -> float:
        """
        Difference of pressure across it when it was rated [Pa]; between 10000 and 5e+07 Pa
        """
class Pump:
    """
    Electric pumps side by side on one supply; their flows add.
    
    Parameters
    ----------
    count : float, default 1.0
        Pumps side by side [dimensionless]; between 1 and 8.
    voltage : float, default 13.5
        At the terminals of pump and injectors, engine running [V]; between 6 and 30 V.
    curves : tuple[list[float], list[float], list[list[float]]] | None
        Voltages [V], pressures [Pa], and a row of volume flows of one pump [m^3/s] for each voltage.
    """
    __hash__: typing.ClassVar[None] = None
    same_voltage: typing.ClassVar[float] = 0.01
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, count: float = 1.0, voltage: float = 13.5, curves: tuple[list[float], list[float], list[list[float]]] | None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, count: float = ..., voltage: float = ..., curves: tuple[list[float], list[float], list[list[float]]] | None = ...) -> Pump:
        """
        The same with some values changed.
        """
    @property
    def count(self) -> float:
        """
        Pumps side by side [dimensionless]; between 1 and 8
        """
    @property
    def curves(self) -> tuple[list[float], list[float], list[list[float]]] | None:
        """
        Voltages [V], pressures [Pa], and a row of volume flows of one pump [m^3/s] for each voltage
        """
    @property
    def voltage(self) -> float:
        """
        At the terminals of pump and injectors, engine running [V]; between 6 and 30 V
        """
class Line:
    """
    A fuel line with its fittings.
    
        dp = (f L/D + K) rho v^2/2
    
    Friction factor of Churchill (1977).
    
    Parameters
    ----------
    length : float
        From end to end [m]; between 0 and 50 m.
    diameter : float
        Of the bore [m]; between 0.001 and 0.1 m.
    roughness : float, default 1.5e-06
        Of its wall; drawn tube 1.5 um [m]; between 0 and 0.001 m.
    loss_coefficient : float, default 0.0
        Sum of the fittings' losses over the dynamic pressure in the bore [dimensionless]; between 0 and 1000.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, length: float, diameter: float, roughness: float = 1.5e-06, loss_coefficient: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def pressure_drop(self, volume_flow: typing.SupportsFloat | typing.SupportsIndex, density: typing.SupportsFloat | typing.SupportsIndex, viscosity: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Pressure lost [Pa] at a volume flow [m^3/s] of a liquid of a density [kg/m^3] and a dynamic viscosity [Pa s].
        """
    def replace(self, *, length: float = ..., diameter: float = ..., roughness: float = ..., loss_coefficient: float = ...) -> Line:
        """
        The same with some values changed.
        """
    def velocity(self, volume_flow: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Mean velocity [m/s] at a volume flow [m^3/s].
        """
    @property
    def diameter(self) -> float:
        """
        Of the bore [m]; between 0.001 and 0.1 m
        """
    @property
    def length(self) -> float:
        """
        From end to end [m]; between 0 and 50 m
        """
    @property
    def loss_coefficient(self) -> float:
        """
        Sum of the fittings' losses over the dynamic pressure in the bore [dimensionless]; between 0 and 1000
        """
    @property
    def roughness(self) -> float:
        """
        Of its wall; drawn tube 1.5 um [m]; between 0 and 0.001 m
        """
class Supply:
    """
    Tank to cylinder: pumps, lines, regulator and injectors, all of the same fuel.
    
    Parameters
    ----------
    rail_pressure : float
        Held above the regulator's reference [Pa]; between 50000 and 5e+07 Pa.
    injectors : float
        That share the fuel [dimensionless]; between 1 and 64.
    pulses : float, default 1.0
        Of each injector in a cycle; 2 when all fire together every turn [dimensionless]; between 1 and 4.
    duty_limit : float, default 0.85
        Open share of the cycle not to be passed; common practice 0.80 to 0.85 [dimensionless]; between 0.1 and 1.
    pump_margin : float, default 0.15
        Flow wanted over what is injected, less 1; common practice 0.1 to 0.2 [dimensionless]; between 0 and 5.
    density : float
        Of the fuel [kg/m^3]; between 600 and 900 kg/m^3.
    viscosity : float
        Dynamic, of the fuel [Pa s]; between 0.0001 and 0.01 Pa s.
    injector : Injector
        One of the injectors.
    pump : Pump
        The pumps.
    supply_line : Line
        From pump to rail.
    return_line : Line
        From regulator to tank.
    reference : str, default 'plenum'
        What the regulator feels: plenum or ambient.
    place : str, default 'rail'
        Where the regulator spills: behind the rail, or at the tank.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, rail_pressure: float, injectors: float, pulses: float = 1.0, duty_limit: float = 0.85, pump_margin: float = 0.15, density: float, viscosity: float, injector: Injector, pump: Pump, supply_line: Line, return_line: Line, reference: str = 'plenum', place: str = 'rail') -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, rail_pressure: float = ..., injectors: float = ..., pulses: float = ..., duty_limit: float = ..., pump_margin: float = ..., density: float = ..., viscosity: float = ..., injector: Injector = ..., pump: Pump = ..., supply_line: Line = ..., return_line: Line = ..., reference: str = ..., place: str = ...) -> Supply:
        """
        The same with some values changed.
        """
    @property
    def density(self) -> float:
        """
        Of the fuel [kg/m^3]; between 600 and 900 kg/m^3
        """
    @property
    def duty_limit(self) -> float:
        """
        Open share of the cycle not to be passed; common practice 0.80 to 0.85 [dimensionless]; between 0.1 and 1
        """
    @property
    def injector(self) -> Injector:
        """
        One of the injectors
        """
    @property
    def injectors(self) -> float:
        """
        That share the fuel [dimensionless]; between 1 and 64
        """
    @property
    def place(self) -> str:
        """
        Where the regulator spills: behind the rail, or at the tank
        """
    @property
    def pulses(self) -> float:
        """
        Of each injector in a cycle; 2 when all fire together every turn [dimensionless]; between 1 and 4
        """
    @property
    def pump(self) -> Pump:
        """
        The pumps
        """
    @property
    def pump_margin(self) -> float:
        """
        Flow wanted over what is injected, less 1; common practice 0.1 to 0.2 [dimensionless]; between 0 and 5
        """
    @property
    def rail_pressure(self) -> float:
        """
        Held above the regulator's reference [Pa]; between 50000 and 5e+07 Pa
        """
    @property
    def reference(self) -> str:
        """
        What the regulator feels: plenum or ambient
        """
    @property
    def return_line(self) -> Line:
        """
        From regulator to tank
        """
    @property
    def supply_line(self) -> Line:
        """
        From pump to rail
        """
    @property
    def viscosity(self) -> float:
        """
        Dynamic, of the fuel [Pa s]; between 0.0001 and 0.01 Pa s
        """
class BreathingTable:
    """
    Volumetric efficiency over engine speed and plenum over exhaust pressure.
    
    Parameters
    ----------
    engine_speed : numpy.typing.ArrayLike
        Rising [rad/s].
    pressure_ratio : numpy.typing.ArrayLike
        Plenum over exhaust pressure, rising; one value when it does not matter [dimensionless].
    values : numpy.typing.ArrayLike
        One row per engine speed, one column per pressure ratio [dimensionless]; 0.1 to 1.6.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, values: numpy.typing.ArrayLike) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    def at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Volumetric efficiency [dimensionless] at engine speeds [rad/s] and pressure ratios; outside the table the value at its edge.
        """
    @property
    def engine_speed(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [rad/s]
        """
    @property
    def pressure_ratio(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Plenum over exhaust pressure [dimensionless].
        """
    @property
    def values(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Rows over engine speed [dimensionless].
        """
class BurnedSurface:
    """
    What cycles say of the burned charge at the nodes of a breathing surface, and how it answers to
    exhaust pressure, phasing and lambda.
    
        q = q_node exp(A_p d + df + A_1 dt + A_2 d(t^2) + dg + A_r dx + A_x d(x^2) + dh + A_l dy
            + cross)
    
    Range: half burned 2 degrees before to 42 after top centre, lambda 0.65 to 1.15.
    
    Parameters
    ----------
    wave_speed : numpy.typing.ArrayLike
        Rising [rad/s].
    pressure_ratio : numpy.typing.ArrayLike
        Plenum over exhaust pressure, rising [dimensionless].
    temperature : numpy.typing.ArrayLike
        Of the charge, rising [K].
    work : numpy.typing.ArrayLike
        Of compression and expansion over the heating value of the trapped fuel, over these three axes [dimensionless]; 0 to 1.
    exhaust_temperature : numpy.typing.ArrayLike
        Mean of what leaves the primary, likewise [K]; 250 to 3000.
    peak_pressure : numpy.typing.ArrayLike
        In the cylinder over plenum pressure times volumetric efficiency, likewise [dimensionless]; 1 to 1000.
    wall_heat : numpy.typing.ArrayLike
        To the cylinder's walls over the heating value of the trapped fuel, likewise [dimensionless]; 0 to 1.
    coarse_speed : numpy.typing.ArrayLike
        Wave speeds of the responses, rising [rad/s].
    coarse_ratio : numpy.typing.ArrayLike
        Plenum over exhaust pressures of the responses, rising [dimensionless].
    coarse_temperature : numpy.typing.ArrayLike
        Charge temperatures of the responses, rising [K].
    responses : numpy.typing.ArrayLike
        Of filling, exhaust temperature, work, pumping, peak pressure, wall heat and trapping to
    exhaust pressure, phasing and its square, rich and lean mixture and the square of the rich, by answer, cause and
    the coarse axes [dimensionless].
    shapes : numpy.typing.ArrayLike
        16 numbers of each of these answers: a spline of the phasing (6), powers of rich (4) and
    lean (2) mixture, and of both together (4) [dimensionless].
    own : numpy.typing.ArrayLike
        The nodes' own burn: half burned [rad], retard [rad/Pa] above 100 kPa, latest half burned [rad], lambda, three numbers of how the square of the charge's speed of sound changes with lambda, and the unevenness of the charge [dimensionless].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, wave_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, work: numpy.typing.ArrayLike, exhaust_temperature: numpy.typing.ArrayLike, peak_pressure: numpy.typing.ArrayLike, wall_heat: numpy.typing.ArrayLike, coarse_speed: numpy.typing.ArrayLike, coarse_ratio: numpy.typing.ArrayLike, coarse_temperature: numpy.typing.ArrayLike, responses: numpy.typing.ArrayLike, shapes: numpy.typing.ArrayLike, own: numpy.typing.ArrayLike) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    @property
    def coarse_ratio(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Plenum over exhaust pressures of the responses, rising [dimensionless], in one row.
        """
    @property
    def coarse_speed(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Wave speeds of the responses, rising [rad/s], in one row.
        """
    @property
    def coarse_temperature(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Charge temperatures of the responses, rising [K], in one row.
        """
    @property
    def exhaust_temperature(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Mean of what leaves the primary, likewise [K]; 250 to 3000, in one row.
        """
    @property
    def own(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Half burned [rad], retard [rad/Pa], latest half burned [rad], lambda, the numbers of the speed of sound, and the unevenness of the charge.
        """
    @property
    def peak_pressure(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        In the cylinder over plenum pressure times volumetric efficiency, likewise [dimensionless]; 1 to 1000, in one row.
        """
    @property
    def pressure_ratio(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Plenum over exhaust pressure, rising [dimensionless], in one row.
        """
    @property
    def responses(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Of filling, exhaust temperature, work, pumping, peak pressure, wall heat and trapping to
        exhaust pressure, phasing and its square, rich and lean mixture and the square of the rich, by answer, cause and
        the coarse axes [dimensionless], in one row.
        """
    @property
    def shapes(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        16 numbers of each of these answers: a spline of the phasing (6), powers of rich (4) and
        lean (2) mixture, and of both together (4) [dimensionless], in one row.
        """
    @property
    def temperature(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Of the charge, rising [K], in one row.
        """
    @property
    def wall_heat(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        To the cylinder's walls over the heating value of the trapped fuel, likewise [dimensionless]; 0 to 1, in one row.
        """
    @property
    def wave_speed(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Rising [rad/s], in one row.
        """
    @property
    def work(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Of compression and expansion over the heating value of the trapped fuel, over these three axes [dimensionless]; 0 to 1, in one row.
        """
class BreathingSurface:
    """
    What a crank-resolved cylinder says of its filling over speed, plenum over exhaust
    pressure, charge temperature and exhaust pressure.
    
        wave speed = N / (1 + x + x^2/2),   x = a s,   s = 2 (T - T0)/(T + T0),   T0 = 330 K
    
    Parameters
    ----------
    wave_speed : numpy.typing.ArrayLike
        Rising [rad/s].
    pressure_ratio : numpy.typing.ArrayLike
        Plenum over exhaust pressure, rising [dimensionless].
    temperature : numpy.typing.ArrayLike
        Of the charge, rising, 8 at most [K].
    exhaust_pressure : numpy.typing.ArrayLike
        Three: lowest, that of the nodes, highest [Pa].
    volumetric_efficiency : numpy.typing.ArrayLike
        Charge that stays over that of full cylinders [dimensionless]; 0.1 to 1.6.
    trapping : numpy.typing.ArrayLike
        Charge that stays over charge drawn [dimensionless]; 0.2 to 1.
    pumping : numpy.typing.ArrayLike
        Mean effective pressure lost in the gas exchange over plenum pressure [dimensionless].
    pressure_effect : numpy.typing.ArrayLike
        Change of volumetric efficiency with 2 (p - p0)/(p + p0), p the exhaust pressure and p0
    that of the nodes [dimensionless]; -1 to 1.
    burned : BurnedSurface | None, default None
        What the cycles say of the burned charge.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def difference(x: numpy.typing.ArrayLike, y: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        2 (x - y)/(x + y), near the logarithm of x/y.
        """
    @staticmethod
    def lean_side(lambda_: numpy.typing.ArrayLike, unevenness: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        How lean the parcels of an uneven charge are, as mean of lambda above 1.
        """
    @staticmethod
    def response_stretch(temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        The same for responses to a burn [dimensionless] at charge temperatures [K].
        """
    @staticmethod
    def rich_side(lambda_: numpy.typing.ArrayLike, unevenness: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        How rich the parcels of an uneven charge are, as mean of lambda below 1.
        """
    @staticmethod
    def stretch(pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Engine speed over wave speed [dimensionless] at plenum over exhaust pressures and charge
        temperatures [K].
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, wave_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, volumetric_efficiency: numpy.typing.ArrayLike, trapping: numpy.typing.ArrayLike, pumping: numpy.typing.ArrayLike, pressure_effect: numpy.typing.ArrayLike, burned: BurnedSurface | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    def burned_pumping_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Mean effective pressure lost over plenum pressure at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    def exhaust_temperature_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Mean temperature [K] of what leaves the primary at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    def filled_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Volumetric efficiency at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    def inside(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike) -> typing.Any:
        """
        Whether states lie within the nodes.
        """
    def peak_pressure_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Peak pressure over plenum pressure at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    def pumping_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Mean effective pressure lost over plenum pressure [dimensionless] at engine speeds [rad/s], plenum over
        exhaust pressures, charge temperatures [K] and exhaust pressures [Pa]; outside, the value
        at the edge.
        """
    def trapping_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Charge that stays over charge drawn [dimensionless] at engine speeds [rad/s], plenum over
        exhaust pressures, charge temperatures [K] and exhaust pressures [Pa]; outside, the value
        at the edge.
        """
    def volumetric_efficiency_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Volumetric efficiency [dimensionless] at engine speeds [rad/s], plenum over
        exhaust pressures, charge temperatures [K] and exhaust pressures [Pa]; outside, the value
        at the edge.
        """
    def wall_heat_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Heat to the cylinder's walls over the trapped fuel's heating value at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    def work_at(self, engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Work of compression and expansion over the trapped fuel's heating value at engine speeds [rad/s], plenum over exhaust
        pressures, charge temperatures [K] and exhaust pressures [Pa], with half of the charge burned at
        crank angles after top centre [rad], at lambdas; NaN where the surface tells the filling alone.
        """
    @property
    def burned(self) -> BurnedSurface:
        """
        What the cycles say of the burned charge; None where only the filling is told.
        """
    @property
    def exhaust_pressure(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        The lowest, that of the nodes, and the highest [Pa].
        """
    @property
    def pressure_effect(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Change of volumetric efficiency with the logarithm of exhaust pressure [dimensionless] at the nodes, over wave speed, pressure ratio and temperature.
        """
    @property
    def pressure_ratio(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Plenum over exhaust pressure [dimensionless].
        """
    @property
    def pumping(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Mean effective pressure lost over plenum pressure [dimensionless] at the nodes, over wave speed, pressure ratio and temperature.
        """
    @property
    def temperature(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [K]
        """
    @property
    def trapping(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Charge that stays over charge drawn [dimensionless] at the nodes, over wave speed, pressure ratio and temperature.
        """
    @property
    def volumetric_efficiency(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Volumetric efficiency [dimensionless] at the nodes, over wave speed, pressure ratio and temperature.
        """
    @property
    def wave_speed(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [rad/s]
        """
class HeadJoint:
    """
    What the fasteners of one cylinder clamp against what the gas lifts.
    
        clamp = torque / (nut_factor diameter), lift = p_peak pi/4 sealing_diameter^2
    
    Left out: unlike growth by heat, settling of the gasket, bending of the head.
    
    Parameters
    ----------
    fasteners_per_cylinder : float
        One shared by two cylinders counts half for each [dimensionless]; between 1 and 12.
    sealing_diameter : float
        Of the ring that the gas reaches in the gasket, bore or more [m]; between 0.02 and 0.3 m.
    fastener_diameter : float, default 0.0
        Nominal; needed with a torque [m]; between 0 and 0.03 m.
    torque : float, default 0.0
        On each fastener [N m]; between 0 and 500 N m.
    nut_factor : float, default 0.2
        Torque over clamp and diameter: 0.2 dry, 0.12 to 0.15 lubricated (common practice, no source); follow the fastener's maker [dimensionless]; between 0.05 and 0.5.
    clamp : float, default 0.0
        Of each fastener, where its stretch was measured; goes before a torque [N]; between 0 and 500000 N.
    scatter : float, default 0.25
        Share by which a fastener may fall short of it: 0.25 by torque, 0.05 to 0.1 by stretch (common practice, no source) [dimensionless]; between 0 and 0.6.
    gasket_area : float, default 0.0
        That must stay pressed around one cylinder [m^2]; between 0 and 0.1 m^2.
    gasket_pressure : float, default 0.0
        That keeps this area tight; 0 where only lifting counts [Pa]; between 0 and 2e+08 Pa.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, fasteners_per_cylinder: float, sealing_diameter: float, fastener_diameter: float = 0.0, torque: float = 0.0, nut_factor: float = 0.2, clamp: float = 0.0, scatter: float = 0.25, gasket_area: float = 0.0, gasket_pressure: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def lifting_force(self, peak_pressure: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Of the gas at a peak pressure [Pa], on one cylinder [N].
        """
    def replace(self, *, fasteners_per_cylinder: float = ..., sealing_diameter: float = ..., fastener_diameter: float = ..., torque: float = ..., nut_factor: float = ..., clamp: float = ..., scatter: float = ..., gasket_area: float = ..., gasket_pressure: float = ...) -> HeadJoint:
        """
        The same with some values changed.
        """
    @property
    def clamp(self) -> float:
        """
        Of each fastener, where its stretch was measured; goes before a torque [N]; between 0 and 500000 N
        """
    @property
    def fastener_clamp(self) -> float:
        """
        Of one fastener [N].
        """
    @property
    def fastener_diameter(self) -> float:
        """
        Nominal; needed with a torque [m]; between 0 and 0.03 m
        """
    @property
    def fasteners_per_cylinder(self) -> float:
        """
        One shared by two cylinders counts half for each [dimensionless]; between 1 and 12
        """
    @property
    def gasket_area(self) -> float:
        """
        That must stay pressed around one cylinder [m^2]; between 0 and 0.1 m^2
        """
    @property
    def gasket_pressure(self) -> float:
        """
        That keeps this area tight; 0 where only lifting counts [Pa]; between 0 and 2e+08 Pa
        """
    @property
    def holding_force(self) -> float:
        """
        Least clamp around one cylinder [N], less what the gasket needs.
        """
    @property
    def nut_factor(self) -> float:
        """
        Torque over clamp and diameter: 0.2 dry, 0.12 to 0.15 lubricated (common practice, no source); follow the fastener's maker [dimensionless]; between 0.05 and 0.5
        """
    @property
    def scatter(self) -> float:
        """
        Share by which a fastener may fall short of it: 0.25 by torque, 0.05 to 0.1 by stretch (common practice, no source) [dimensionless]; between 0 and 0.6
        """
    @property
    def sealing_diameter(self) -> float:
        """
        Of the ring that the gas reaches in the gasket, bore or more [m]; between 0.02 and 0.3 m
        """
    @property
    def torque(self) -> float:
        """
        On each fastener [N m]; between 0 and 500 N m
        """
class Crank:
    """
    One cylinder on a slider-crank; angle 0 is top centre.
    
        s = a cos t + sqrt(l^2 - a^2 sin^2 t),   V = V_c + pi/4 B^2 (l + a - s)
    
    Parameters
    ----------
    bore : float
        Diameter of the cylinder [m]; between 0.02 and 0.25 m.
    stroke : float
        Piston travel [m]; between 0.02 and 0.25 m.
    rod_length : float
        Between centres [m]; between 0.03 and 0.6 m.
    compression_ratio : float
        Volume at bottom centre over volume at top centre [dimensionless]; between 5 and 20.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, bore: float, stroke: float, rod_length: float, compression_ratio: float) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, bore: float = ..., stroke: float = ..., rod_length: float = ..., compression_ratio: float = ...) -> Crank:
        """
        The same with some values changed.
        """
    def volume(self, angle: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Volume [m^3] at crank angles [rad].
        """
    @property
    def bore(self) -> float:
        """
        Diameter of the cylinder [m]; between 0.02 and 0.25 m
        """
    @property
    def clearance_volume(self) -> float:
        """
        Volume at top centre [m^3].
        """
    @property
    def compression_ratio(self) -> float:
        """
        Volume at bottom centre over volume at top centre [dimensionless]; between 5 and 20
        """
    @property
    def displacement(self) -> float:
        """
        Swept volume [m^3].
        """
    @property
    def rod_length(self) -> float:
        """
        Between centres [m]; between 0.03 and 0.6 m
        """
    @property
    def stroke(self) -> float:
        """
        Piston travel [m]; between 0.02 and 0.25 m
        """
class Burn:
    """
    How the trapped charge burns: Wiebe's function of the crank angle.
    
        x = (1 - exp(-a y^(m+1)))/(1 - exp(-a)),   y = (angle - start)/duration
        duration = duration_ref (n/n_ref)^x (1 + 3.5 (1/lambda - 1.1)^2)
                   (1 + 2 residual)
    
    Parameters
    ----------
    half_burned : float, default 0.13962634015954636
        Crank angle after top centre at which half the charge has burned [rad]; between -0.3 and 1 rad.
    duration : float, default 0.9599310885968813
        Crank angle from start to end of burn at the reference speed, lambda 0.91 and no residual gas [rad]; between 0.2 and 3 rad.
    reference_speed : float, default 400.0
        Crank speed of that duration [rad/s]; between 50 and 1500 rad/s.
    speed_exponent : float, default 0.25
        Growth of the duration with speed [dimensionless]; between 0 and 0.8.
    shape : float, default 2.0
        Wiebe's exponent m [dimensionless]; between 0.5 and 5.
    efficiency : float, default 5.0
        Wiebe's factor a [dimensionless]; between 2 and 10.
    completeness : float, default 0.97
        Share of the available heat that is released; crevices and walls keep the rest [dimensionless]; between 0.8 and 1.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, half_burned: float = 0.13962634015954636, duration: float = 0.9599310885968813, reference_speed: float = 400.0, speed_exponent: float = 0.25, shape: float = 2.0, efficiency: float = 5.0, completeness: float = 0.97) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, half_burned: float = ..., duration: float = ..., reference_speed: float = ..., speed_exponent: float = ..., shape: float = ..., efficiency: float = ..., completeness: float = ...) -> Burn:
        """
        The same with some values changed.
        """
    @property
    def completeness(self) -> float:
        """
        Share of the available heat that is released; crevices and walls keep the rest [dimensionless]; between 0.8 and 1
        """
    @property
    def duration(self) -> float:
        """
        Crank angle from start to end of burn at the reference speed, lambda 0.91 and no residual gas [rad]; between 0.2 and 3 rad
        """
    @property
    def efficiency(self) -> float:
        """
        Wiebe's factor a [dimensionless]; between 2 and 10
        """
    @property
    def half_burned(self) -> float:
        """
        Crank angle after top centre at which half the charge has burned [rad]; between -0.3 and 1 rad
        """
    @property
    def reference_speed(self) -> float:
        """
        Crank speed of that duration [rad/s]; between 50 and 1500 rad/s
        """
    @property
    def shape(self) -> float:
        """
        Wiebe's exponent m [dimensionless]; between 0.5 and 5
        """
    @property
    def speed_exponent(self) -> float:
        """
        Growth of the duration with speed [dimensionless]; between 0 and 0.8
        """
class HeatLoss:
    """
    Heat from the gas to the walls of a cylinder, after Woschni.
    
        h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8
    
    Parameters
    ----------
    multiplier : float, default 1.0
        On the coefficient [dimensionless]; between 0 and 4.
    head_temperature : float, default 480.0
        Of the chamber in the head, valves included [K]; between 300 and 900 K.
    piston_temperature : float, default 520.0
        Of the crown [K]; between 300 and 900 K.
    liner_temperature : float, default 420.0
        Of the bore [K]; between 300 and 700 K.
    head_area_ratio : float, default 1.25
        Chamber surface over bore area [dimensionless]; between 1 and 3.
    piston_area_ratio : float, default 1.05
        Crown surface over bore area [dimensionless]; between 1 and 3.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, multiplier: float = 1.0, head_temperature: float = 480.0, piston_temperature: float = 520.0, liner_temperature: float = 420.0, head_area_ratio: float = 1.25, piston_area_ratio: float = 1.05) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, multiplier: float = ..., head_temperature: float = ..., piston_temperature: float = ..., liner_temperature: float = ..., head_area_ratio: float = ..., piston_area_ratio: float = ...) -> HeatLoss:
        """
        The same with some values changed.
        """
    @property
    def head_area_ratio(self) -> float:
        """
        Chamber surface over bore area [dimensionless]; between 1 and 3
        """
    @property
    def head_temperature(self) -> float:
        """
        Of the chamber in the head, valves included [K]; between 300 and 900 K
        """
    @property
    def liner_temperature(self) -> float:
        """
        Of the bore [K]; between 300 and 700 K
        """
    @property
    def multiplier(self) -> float:
        """
        On the coefficient [dimensionless]; between 0 and 4
        """
    @property
    def piston_area_ratio(self) -> float:
        """
        Crown surface over bore area [dimensionless]; between 1 and 3
        """
    @property
    def piston_temperature(self) -> float:
        """
        Of the crown [K]; between 300 and 900 K
        """
class Lobe:
    """
    One lobe and what moves the valve, in the trade's terms. Durations are crank angles between
    two equal tappet lifts.
    
    Parameters
    ----------
    duration : float
        Crank angle between the 0.050 in (1.27 mm) tappet lifts [rad]; between 1 and 6.5 rad.
    seat_duration : float
        Crank angle between the seat lifts, the advertised duration [rad]; between 1.5 and 8 rad.
    seat_lift : float, default 0.0001524
        Tappet lift at which the seat duration is told; common practice 0.004 to 0.020 in [m]; between 5e-05 and 0.001 m.
    lobe_lift : float
        Highest tappet lift [m]; between 0.003 and 0.02 m.
    rocker_ratio : float, default 1.6
        Valve lift over tappet lift [dimensionless]; between 0.8 and 2.5.
    lash : float, default 0.0
        Clearance at the valve [m]; between 0 and 0.0015 m.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, duration: float, seat_duration: float, seat_lift: float = 0.0001524, lobe_lift: float, rocker_ratio: float = 1.6, lash: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, duration: float = ..., seat_duration: float = ..., seat_lift: float = ..., lobe_lift: float = ..., rocker_ratio: float = ..., lash: float = ...) -> Lobe:
        """
        The same with some values changed.
        """
    @property
    def duration(self) -> float:
        """
        Crank angle between the 0.050 in (1.27 mm) tappet lifts [rad]; between 1 and 6.5 rad
        """
    @property
    def lash(self) -> float:
        """
        Clearance at the valve [m]; between 0 and 0.0015 m
        """
    @property
    def lobe_lift(self) -> float:
        """
        Highest tappet lift [m]; between 0.003 and 0.02 m
        """
    @property
    def rocker_ratio(self) -> float:
        """
        Valve lift over tappet lift [dimensionless]; between 0.8 and 2.5
        """
    @property
    def seat_duration(self) -> float:
        """
        Crank angle between the seat lifts, the advertised duration [rad]; between 1.5 and 8 rad
        """
    @property
    def seat_lift(self) -> float:
        """
        Tappet lift at which the seat duration is told; common practice 0.004 to 0.020 in [m]; between 5e-05 and 0.001 m
        """
class LiftCurve:
    """
    Lift of a valve over crank angle from its peak; smooth, with continuous acceleration.
    
        lift/lobe_lift = (1 - z)^3 (1 + 3 t z + 6 t^2 z^2),   z = (angle/half width)^2
    
    t and the width meet both durations of the lobe; lash is taken up smoothly. Or a cubic
    spline through measured points.
    
    Parameters
    ----------
    source : Lobe | tuple[numpy.typing.ArrayLike, numpy.typing.ArrayLike]
        A lobe, or measured crank angles [rad] and valve lifts [m] from seat to seat.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, source: Lobe | tuple[numpy.typing.ArrayLike, numpy.typing.ArrayLike]) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    def at(self, angle: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Valve lift [m] at crank angles [rad] from the peak; 0 on the seat.
        """
    def span_at(self, lift: typing.SupportsFloat | typing.SupportsIndex) -> tuple[float, float]:
        """
        Opening and closing angle [rad] at a valve lift [m].
        """
    @property
    def closing(self) -> float:
        """
        Angle at which the valve is back on its seat [rad].
        """
    @property
    def highest(self) -> float:
        """
        Highest valve lift [m].
        """
    @property
    def opening(self) -> float:
        """
        Angle at which the valve leaves its seat [rad].
        """
class Camshaft:
    """
    Intake and exhaust lobe on their shaft; top centre is that of gas exchange.
    
    Parameters
    ----------
    lobe_separation : float
        Cam angle between the lobes' peaks [rad]; between 1.5 and 2.3 rad.
    intake_centreline : float
        Crank angle of the intake lobe's peak after top centre, as installed [rad]; between 1.4 and 2.4 rad.
    intake : Lobe
        Intake lobe.
    exhaust : Lobe
        Exhaust lobe.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, lobe_separation: float, intake_centreline: float, intake: Lobe, exhaust: Lobe) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, lobe_separation: float = ..., intake_centreline: float = ..., intake: Lobe = ..., exhaust: Lobe = ...) -> Camshaft:
        """
        The same with some values changed.
        """
    @property
    def exhaust(self) -> Lobe:
        """
        Exhaust lobe
        """
    @property
    def exhaust_centreline(self) -> float:
        """
        Crank angle of the exhaust lobe's peak before top centre [rad].
        """
    @property
    def intake(self) -> Lobe:
        """
        Intake lobe
        """
    @property
    def intake_centreline(self) -> float:
        """
        Crank angle of the intake lobe's peak after top centre, as installed [rad]; between 1.4 and 2.4 rad
        """
    @property
    def lobe_separation(self) -> float:
        """
        Cam angle between the lobes' peaks [rad]; between 1.5 and 2.3 rad
        """
class FlowBench:
    """
    One port on the flow bench: rising lifts, and what flows at a depression.
    
    Parameters
    ----------
    depression : float
        Pressure difference across the port; 28 inH2O is 6974 Pa [Pa]; between 200 and 20000 Pa.
    pressure : float, default 101325.0
        Of the room, absolute [Pa]; between 60000 and 120000 Pa.
    temperature : float, default 293.15
        Of the room [K]; between 250 and 330 K.
    lift : numpy.typing.ArrayLike
        Valve lifts, rising from row to row [m].
    flow : numpy.typing.ArrayLike
        Volume flow at each lift [m^3/s].
    convention : str, default 'incompressible'
        What the flow means: incompressible (calibrated by sqrt(2 dp/rho), as most benches are) or
        compressible (true volume at the state upstream).
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, depression: float, pressure: float = 101325.0, temperature: float = 293.15, lift: numpy.typing.ArrayLike, flow: numpy.typing.ArrayLike, convention: str = 'incompressible') -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, depression: float = ..., pressure: float = ..., temperature: float = ..., lift: numpy.typing.ArrayLike = ..., flow: numpy.typing.ArrayLike = ..., convention: str = ...) -> FlowBench:
        """
        The same with some values changed.
        """
    @property
    def convention(self) -> str:
        """
        What the flow means: incompressible (calibrated by sqrt(2 dp/rho), as most benches are) or
            compressible (true volume at the state upstream)
        """
    @property
    def depression(self) -> float:
        """
        Pressure difference across the port; 28 inH2O is 6974 Pa [Pa]; between 200 and 20000 Pa
        """
    @property
    def flow(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Volume flow at each lift [m^3/s]
        """
    @property
    def lift(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        Valve lifts, rising from row to row [m]
        """
    @property
    def pressure(self) -> float:
        """
        Of the room, absolute [Pa]; between 60000 and 120000 Pa
        """
    @property
    def temperature(self) -> float:
        """
        Of the room [K]; between 250 and 330 K
        """
class Combustion:
    """
    Mean-value model of the closed cycle, for an engine whose breathing is typed. One with cams
    takes phasing, share of coolant and work scale from here, the rest from its cycles.
    
        eta_i = quality (1 - r^-0.26) f (1 + p1 t + p2 t^2) (1 + s u + d l)
    
    f of mixture, fuel and compression, t of lateness, u of speed, l of charge density: fitted
    to this project's cycle over 60 engines of 80 to 115 mm bore, compression 8 to 13, three
    fuels, 0.6 to 3 bar. Of the states of 24 other such engines half are within, 95 in 100 are
    within, and the worst is off
    
        net work             1.1 %   3.5 %    9 %
        wall heat            4.7 %    12 %   22 %
        peak pressure        1.6 %   4.5 %   18 %
        pumping             0.45 %   3.1 %  7.5 %  of gross work
        exhaust temperature   20 K    60 K  125 K
    
    Range: lambda 0.65 to 1.15, half burned 2 degrees before to 42 after top centre. Left out:
    dilution, speed of burn, knock.
    
    Parameters
    ----------
    quality : float, default 0.8896
        Indicated efficiency of stoichiometric gasoline over 1 - r^-0.26, at compression 10, a charge of 1.2 kg/m^3 and 15 m/s mean piston speed; not asked where cycles tell the work [dimensionless]; between 0.4 and 1.
    phasing : float, default 0.13962634015954636
        Crank angle after top centre at which half the charge has burned, at or below 100 kPa plenum pressure [rad]; between -0.1 and 0.8 rad.
    best_phasing : float, default 0.13962634015954636
        The same at best torque; common practice 8 to 10 degrees [rad]; between 0 and 0.4 rad.
    phasing_retard : float, default 0.0
        Later phasing per plenum pressure above 100 kPa [rad/Pa]; between 0 and 5e-06 rad/Pa.
    coolant_share : float, default 0.22
        Share of the heat released that goes to coolant and oil [dimensionless]; between 0 and 0.5.
    work_scale : float, default 1.0
        Factor on the work of compression and expansion that the cycles of an engine with cams give; not asked where volumetric efficiency is typed [dimensionless]; between 0.5 and 1.5.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, quality: float = 0.8896, phasing: float = 0.13962634015954636, best_phasing: float = 0.13962634015954636, phasing_retard: float = 0.0, coolant_share: float = 0.22, work_scale: float = 1.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def exhaust_rise(self, density: numpy.typing.ArrayLike, piston_speed: numpy.typing.ArrayLike, heat: numpy.typing.ArrayLike, charge_temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        By how much the exhaust is hotter than the charge [K], likewise: heat that leaves the cylinder with its gas [J/kg], charge temperature [K].
        """
    def indicated_efficiency(self, compression_ratio: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike, oxygen_ratio: numpy.typing.ArrayLike, density: numpy.typing.ArrayLike, piston_speed: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Work of compression and expansion over the fuel's heating value [dimensionless] where no cycles tell it: lambda, oxygen atoms per carbon atom of the fuel, density of dry air at plenum pressure and charge temperature [kg/m^3], mean piston speed [m/s], crank angle of half burned [rad].
        """
    def peak_pressure(self, compression_ratio: numpy.typing.ArrayLike, plenum_pressure: numpy.typing.ArrayLike, exhaust_pressure: numpy.typing.ArrayLike, volumetric_efficiency: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike, heat: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Peak pressure of the mean cycle [Pa], likewise: pressures of plenum and exhaust [Pa], heat set free over displacement [J/m^3].
        """
    def phasing_at(self, plenum_pressure: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Crank angle after top centre [rad] at which half the charge has burned, at plenum pressures [Pa].
        """
    def phasing_factor(self, phasing: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Indicated work at a phasing [rad] over that at best phasing [dimensionless].
        """
    def replace(self, *, quality: float = ..., phasing: float = ..., best_phasing: float = ..., phasing_retard: float = ..., coolant_share: float = ..., work_scale: float = ...) -> Combustion:
        """
        The same with some values changed.
        """
    def wall_heat(self, compression_ratio: numpy.typing.ArrayLike, lambda_: numpy.typing.ArrayLike, oxygen_ratio: numpy.typing.ArrayLike, density: numpy.typing.ArrayLike, piston_speed: numpy.typing.ArrayLike, half_burned: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Heat to the cylinder walls over the fuel's heating value [dimensionless], likewise.
        """
    @property
    def best_phasing(self) -> float:
        """
        The same at best torque; common practice 8 to 10 degrees [rad]; between 0 and 0.4 rad
        """
    @property
    def coolant_share(self) -> float:
        """
        Share of the heat released that goes to coolant and oil [dimensionless]; between 0 and 0.5
        """
    @property
    def phasing(self) -> float:
        """
        Crank angle after top centre at which half the charge has burned, at or below 100 kPa plenum pressure [rad]; between -0.1 and 0.8 rad
        """
    @property
    def phasing_retard(self) -> float:
        """
        Later phasing per plenum pressure above 100 kPa [rad/Pa]; between 0 and 5e-06 rad/Pa
        """
    @property
    def quality(self) -> float:
        """
        Indicated efficiency of stoichiometric gasoline over 1 - r^-0.26, at compression 10, a charge of 1.2 kg/m^3 and 15 m/s mean piston speed; not asked where cycles tell the work [dimensionless]; between 0.4 and 1
        """
    @property
    def work_scale(self) -> float:
        """
        Factor on the work of compression and expansion that the cycles of an engine with cams give; not asked where volumetric efficiency is typed [dimensionless]; between 0.5 and 1.5
        """
class Breathing:
    """
    How well the engine fills.
    
        eta_v = scale table(engine speed, plenum/exhaust pressure) (T_charge/T_ref)^x
    
    The charge that stays in the cylinders a cycle over what fills the displacement at plenum
    pressure and charge temperature. Left out of a typed table: wave tuning moving with
    temperature, charge lost in the overlap. A surface knows both; the factor comes on top. One
    with neither belongs to a chain whose cylinder's cycle is run at every point.
    
    Parameters
    ----------
    scale : float, default 1.0
        Factor on the whole table [dimensionless]; between 0.3 and 2.
    reference_temperature : float, default 298.15
        Charge temperature the table was taken at [K]; between 230 and 450 K.
    temperature_exponent : float, default 0.4
        Rise of volumetric efficiency with charge temperature [dimensionless]; between 0 and 1.
    table : BreathingTable, default None
        Volumetric efficiency at the reference temperature.
    surface : BreathingSurface, default None
        What a crank-resolved cylinder says, instead of the table.
    together : BreathingTable, default None
        Mean charge of all cylinders over that of the one whose cycles make the breathing, over together_speed and pressure ratio.
    """
    TOGETHER_TEMPERATURE: typing.ClassVar[float] = 300.0
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    @staticmethod
    def together_speed(engine_speed: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Engine speed [rad/s] at TOGETHER_TEMPERATURE [K] at which cylinders differ as they do at
        engine speeds [rad/s] and charge temperatures [K].
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, scale: float = 1.0, reference_temperature: float = 298.15, temperature_exponent: float = 0.4, table: BreathingTable = None, surface: BreathingSurface = None, together: BreathingTable = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, scale: float = ..., reference_temperature: float = ..., temperature_exponent: float = ..., table: BreathingTable = ..., surface: BreathingSurface = ..., together: BreathingTable = ...) -> Breathing:
        """
        The same with some values changed.
        """
    @property
    def reference_temperature(self) -> float:
        """
        Charge temperature the table was taken at [K]; between 230 and 450 K
        """
    @property
    def scale(self) -> float:
        """
        Factor on the whole table [dimensionless]; between 0.3 and 2
        """
    @property
    def surface(self) -> BreathingSurface:
        """
        What a crank-resolved cylinder says, instead of the table
        """
    @property
    def table(self) -> BreathingTable:
        """
        Volumetric efficiency at the reference temperature
        """
    @property
    def temperature_exponent(self) -> float:
        """
        Rise of volumetric efficiency with charge temperature [dimensionless]; between 0 and 1
        """
    @property
    def together(self) -> BreathingTable:
        """
        Mean charge of all cylinders over that of the one whose cycles make the breathing, over together_speed and pressure ratio
        """
class Engine:
    """
    The four-stroke engine's size and rubbing losses.
    
        fmep = a + b p_max + c U + d U^2
    
    U is the mean piston speed; pumping comes apart.
    
    Parameters
    ----------
    displacement : float
        Swept volume of all cylinders [m^3]; between 1e-05 and 0.05 m^3.
    stroke : float
        Piston travel [m]; between 0.02 and 0.25 m.
    compression_ratio : float
        Volume at bottom centre over volume at top centre [dimensionless]; between 5 and 20.
    speed_limit : float
        Highest crank speed allowed [rad/s]; between 50 and 2500 rad/s.
    friction_constant : float, default 40000.0
        Friction mean effective pressure at no load and speed [Pa]; between 0 and 500000 Pa.
    friction_pressure : float, default 0.005
        Friction mean effective pressure per peak cylinder pressure [dimensionless]; between 0 and 0.05.
    friction_speed : float, default 9000.0
        Friction mean effective pressure per mean piston speed [Pa s/m]; between 0 and 50000 Pa s/m.
    friction_speed_squared : float, default 90.0
        Friction mean effective pressure per mean piston speed squared [Pa s^2/m^2]; between 0 and 2000 Pa s^2/m^2.
    valve_loss : float, default 110.0
        Pressure lost through open valves in the pumping loop over charge density and mean piston speed squared: 65 to 220 by the cycle, some 130 with two valves a cylinder and 88 with four; not asked where a surface tells the pumping [dimensionless]; between 0 and 1000.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, displacement: float, stroke: float, compression_ratio: float, speed_limit: float, friction_constant: float = 40000.0, friction_pressure: float = 0.005, friction_speed: float = 9000.0, friction_speed_squared: float = 90.0, valve_loss: float = 110.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def displaced_rate(self, engine_speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Displacement times cycles a second [m^3/s] at an engine speed [rad/s].
        """
    def friction_at(self, peak_pressure: numpy.typing.ArrayLike, engine_speed: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Friction mean effective pressure [Pa] at peak cylinder pressures [Pa] and engine speeds [rad/s].
        """
    def mean_piston_speed(self, engine_speed: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Mean piston speed [m/s] at an engine speed [rad/s].
        """
    def pumping_pressure(self, exhaust_pressure: numpy.typing.ArrayLike, plenum_pressure: numpy.typing.ArrayLike, density: numpy.typing.ArrayLike, engine_speed: numpy.typing.ArrayLike, volumetric_efficiency: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
        """
        Work lost in the gas exchange over displacement [Pa] where no cycles tell it: exhaust and plenum pressures [Pa], the density of dry air at plenum pressure and charge temperature [kg/m^3], engine speeds [rad/s], volumetric efficiency [dimensionless].
        """
    def replace(self, *, displacement: float = ..., stroke: float = ..., compression_ratio: float = ..., speed_limit: float = ..., friction_constant: float = ..., friction_pressure: float = ..., friction_speed: float = ..., friction_speed_squared: float = ..., valve_loss: float = ...) -> Engine:
        """
        The same with some values changed.
        """
    @property
    def compression_ratio(self) -> float:
        """
        Volume at bottom centre over volume at top centre [dimensionless]; between 5 and 20
        """
    @property
    def displacement(self) -> float:
        """
        Swept volume of all cylinders [m^3]; between 1e-05 and 0.05 m^3
        """
    @property
    def friction_constant(self) -> float:
        """
        Friction mean effective pressure at no load and speed [Pa]; between 0 and 500000 Pa
        """
    @property
    def friction_pressure(self) -> float:
        """
        Friction mean effective pressure per peak cylinder pressure [dimensionless]; between 0 and 0.05
        """
    @property
    def friction_speed(self) -> float:
        """
        Friction mean effective pressure per mean piston speed [Pa s/m]; between 0 and 50000 Pa s/m
        """
    @property
    def friction_speed_squared(self) -> float:
        """
        Friction mean effective pressure per mean piston speed squared [Pa s^2/m^2]; between 0 and 2000 Pa s^2/m^2
        """
    @property
    def speed_limit(self) -> float:
        """
        Highest crank speed allowed [rad/s]; between 50 and 2500 rad/s
        """
    @property
    def stroke(self) -> float:
        """
        Piston travel [m]; between 0.02 and 0.25 m
        """
    @property
    def valve_loss(self) -> float:
        """
        Pressure lost through open valves in the pumping loop over charge density and mean piston speed squared: 65 to 220 by the cycle, some 130 with two valves a cylinder and 88 with four; not asked where a surface tells the pumping [dimensionless]; between 0 and 1000
        """
class Exhaust:
    """
    Tailpipe, silencer and primaries behind the valves.
    
        p^2 - p_ambient p = K R T W^2 / (2 A^2)
    
    Parameters
    ----------
    loss_coefficient : float, default 2.0
        Pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 1000.
    area : float, default 0.012
        Flow area of all exhaust pipes together [m^2]; between 5e-05 and 1 m^2.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, loss_coefficient: float = 2.0, area: float = 0.012) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, loss_coefficient: float = ..., area: float = ...) -> Exhaust:
        """
        The same with some values changed.
        """
    @property
    def area(self) -> float:
        """
        Flow area of all exhaust pipes together [m^2]; between 5e-05 and 1 m^2
        """
    @property
    def loss_coefficient(self) -> float:
        """
        Pressure lost over the dynamic pressure in `area` [dimensionless]; between 0 and 1000
        """
class Pipe:
    """
    A straight or conical pipe as built.
    
    Parameters
    ----------
    length : float
        From end to end [m]; between 0.02 and 10 m.
    diameter : float
        Inner diameter at the near end [m]; between 0.003 and 0.5 m.
    far_diameter : float
        Inner diameter at the far end; linear between [m]; between 0.003 and 0.5 m.
    friction_factor : float, default 0.006
        Fanning's, a quarter of Darcy's; common practice 0.004 to 0.01 [dimensionless]; between 0 and 0.1.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, length: float, diameter: float, far_diameter: float, friction_factor: float = 0.006) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, length: float = ..., diameter: float = ..., far_diameter: float = ..., friction_factor: float = ...) -> Pipe:
        """
        The same with some values changed.
        """
    @property
    def diameter(self) -> float:
        """
        Inner diameter at the near end [m]; between 0.003 and 0.5 m
        """
    @property
    def far_diameter(self) -> float:
        """
        Inner diameter at the far end; linear between [m]; between 0.003 and 0.5 m
        """
    @property
    def friction_factor(self) -> float:
        """
        Fanning's, a quarter of Darcy's; common practice 0.004 to 0.01 [dimensionless]; between 0 and 0.1
        """
    @property
    def length(self) -> float:
        """
        From end to end [m]; between 0.02 and 10 m
        """
class ChargeMixture:
    """
    Humid air with fuel, part of it vapour, the rest droplets that burn with the vapour; alike
    from the plenum to the cylinder.
    
    Parameters
    ----------
    lambda_ : float
        Air over the air that burns the fuel completely [dimensionless]; between 0.6 and 1.5.
    evaporated_fraction : float
        Share of the fuel that is vapour in the runner [dimensionless]; between 0 and 1.
    vapour : float, default 0.0
        Water per dry air [kg/kg]; between 0 and 0.1 kg/kg.
    droplet_diameter : float, default 2e-05
        Of the liquid fuel in the cylinder as the inlet closes; 10 to 50 um behind a port injector's inlet valve, from memory [m]; between 1e-06 and 0.0005 m.
    unevenness : float, default 0.04
        Standard deviation of the fuel-air ratio within the burning charge, over its mean; 0.02 to 0.06 measured beside spark plugs [Heywood 1988, section 9.4.2, from memory]; 0 for an even one [dimensionless]; between 0 and 0.15.
    fuel : Fuel
        What is mixed into the air.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getattr__(self, arg0: str) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, lambda_: float, evaporated_fraction: float, vapour: float = 0.0, droplet_diameter: float = 2e-05, unevenness: float = 0.04, fuel: Fuel) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, lambda_: float = ..., evaporated_fraction: float = ..., vapour: float = ..., droplet_diameter: float = ..., unevenness: float = ..., fuel: Fuel = ...) -> ChargeMixture:
        """
        The same with some values changed.
        """
    def sound_speed(self, temperature: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Speed of sound [m/s] in the fresh charge at a temperature [K], 200 to 1000, its droplets
        as hot as the gas.
        """
    @property
    def air_fraction(self) -> float:
        """
        Mass of dry air in the fresh charge [dimensionless].
        """
    @property
    def droplet_diameter(self) -> float:
        """
        Of the liquid fuel in the cylinder as the inlet closes; 10 to 50 um behind a port injector's inlet valve, from memory [m]; between 1e-06 and 0.0005 m
        """
    @property
    def evaporated_fraction(self) -> float:
        """
        Share of the fuel that is vapour in the runner [dimensionless]; between 0 and 1
        """
    @property
    def fuel(self) -> Fuel:
        """
        What is mixed into the air
        """
    @property
    def fuel_fraction(self) -> float:
        """
        Mass of fuel in the fresh charge [dimensionless].
        """
    @property
    def heat(self) -> float:
        """
        Released by complete use of oxygen or fuel, per fresh charge [J/kg].
        """
    @property
    def lambda_(self) -> float:
        """
        Air over the air that burns the fuel completely [dimensionless]; between 0.6 and 1.5
        """
    @property
    def unevenness(self) -> float:
        """
        Standard deviation of the fuel-air ratio within the burning charge, over its mean; 0.02 to 0.06 measured beside spark plugs [Heywood 1988, section 9.4.2, from memory]; 0 for an even one [dimensionless]; between 0 and 0.15
        """
    @property
    def vapour(self) -> float:
        """
        Water per dry air [kg/kg]; between 0 and 0.1 kg/kg
        """
class ValveArea:
    """
    Effective area of a valve over crank angle; angle 0 is firing top centre.
    
    Parameters
    ----------
    angle : numpy.typing.ArrayLike
        Rising crank angles of one event [rad].
    area : numpy.typing.ArrayLike
        Effective areas, 0 at both ends [m^2].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> tuple:
        ...
    def __init__(self, angle: numpy.typing.ArrayLike, area: numpy.typing.ArrayLike) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple) -> None:
        ...
    @property
    def angle(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [rad]
        """
    @property
    def area(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [m^2]
        """
    @property
    def closing(self) -> float:
        """
        [rad]
        """
    @property
    def opening(self) -> float:
        """
        [rad]
        """
class Runner:
    """
    A runner or primary; its near end is at the plenum or collector, its far end at the valve.
    
    Parameters
    ----------
    wall_temperature : float, default 330.0
        Of the inside [K]; between 230 and 1300 K.
    cells : float, default 30.0
        That the pipe is cut into, a whole number; 0 for no pipe [dimensionless]; between 0 and 400.
    end_correction : float, default 0.6133
        Length by which the near end acts longer, over its radius; 0.61 for a plain end, 0.82 for one flush with a wall [dimensionless]; between 0 and 1.
    taper : Pipe
        Dimensions, port included.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, wall_temperature: float = 330.0, cells: float = 30.0, end_correction: float = 0.6133, taper: Pipe) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, wall_temperature: float = ..., cells: float = ..., end_correction: float = ..., taper: Pipe = ...) -> Runner:
        """
        The same with some values changed.
        """
    @property
    def cells(self) -> float:
        """
        That the pipe is cut into, a whole number; 0 for no pipe [dimensionless]; between 0 and 400
        """
    @property
    def end_correction(self) -> float:
        """
        Length by which the near end acts longer, over its radius; 0.61 for a plain end, 0.82 for one flush with a wall [dimensionless]; between 0 and 1
        """
    @property
    def taper(self) -> Pipe:
        """
        Dimensions, port included
        """
    @property
    def wall_temperature(self) -> float:
        """
        Of the inside [K]; between 230 and 1300 K
        """
class CycleSetup:
    """
    One cylinder with its own runner and primary, over crank angle.
    
    Left out: blow-by, crevices, other cylinders' pulses in plenum and collector.
    
    Parameters
    ----------
    octane : float, default 98.0
        Research octane number, for the knock integral [dimensionless]; between 50 and 130.
    crank : Crank
        Cylinder and slider-crank.
    intake_valve : ValveArea
        Of the intake.
    exhaust_valve : ValveArea
        Of the exhaust.
    intake : Runner
        Runner between plenum and valve.
    exhaust : Runner
        Primary between collector and valve.
    phasing : str, default 'half_burned'
        What fixes the burn of a point: half_burned or spark.
    collector : str, default 'follows'
        Whether gas that comes back from behind the primary follows what leaves there in temperature, or is held at the point's: follows or held.
    burned_gas : str, default 'equilibrium'
        What burned gas in the cylinder is: in equilibrium, or of one composition as in the pipes: equilibrium or frozen.
    burn : Burn
        How the charge burns.
    heat_loss : HeatLoss
        Heat to the walls.
    mixture : ChargeMixture
        Fresh charge.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, octane: float = 98.0, crank: Crank, intake_valve: ValveArea, exhaust_valve: ValveArea, intake: Runner, exhaust: Runner, phasing: str = 'half_burned', collector: str = 'follows', burned_gas: str = 'equilibrium', burn: Burn = ..., heat_loss: HeatLoss = ..., mixture: ChargeMixture) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, octane: float = ..., crank: Crank = ..., intake_valve: ValveArea = ..., exhaust_valve: ValveArea = ..., intake: Runner = ..., exhaust: Runner = ..., phasing: str = ..., collector: str = ..., burned_gas: str = ..., burn: Burn = ..., heat_loss: HeatLoss = ..., mixture: ChargeMixture = ...) -> CycleSetup:
        """
        The same with some values changed.
        """
    @property
    def burn(self) -> Burn:
        """
        How the charge burns
        """
    @property
    def burned_gas(self) -> str:
        """
        What burned gas in the cylinder is: in equilibrium, or of one composition as in the pipes: equilibrium or frozen
        """
    @property
    def collector(self) -> str:
        """
        Whether gas that comes back from behind the primary follows what leaves there in temperature, or is held at the point's: follows or held
        """
    @property
    def crank(self) -> Crank:
        """
        Cylinder and slider-crank
        """
    @property
    def exhaust(self) -> Runner:
        """
        Primary between collector and valve
        """
    @property
    def exhaust_valve(self) -> ValveArea:
        """
        Of the exhaust
        """
    @property
    def heat_loss(self) -> HeatLoss:
        """
        Heat to the walls
        """
    @property
    def intake(self) -> Runner:
        """
        Runner between plenum and valve
        """
    @property
    def intake_valve(self) -> ValveArea:
        """
        Of the intake
        """
    @property
    def mixture(self) -> ChargeMixture:
        """
        Fresh charge
        """
    @property
    def octane(self) -> float:
        """
        Research octane number, for the knock integral [dimensionless]; between 50 and 130
        """
    @property
    def phasing(self) -> str:
        """
        What fixes the burn of a point: half_burned or spark
        """
class CyclePoint:
    """
    Operating point of one cylinder.
    
    Parameters
    ----------
    speed : float
        Of the crank [rad/s]; between 20 and 2000 rad/s.
    plenum_pressure : float
        Absolute, at rest at the mouth of the runner [Pa]; between 10000 and 600000 Pa.
    plenum_temperature : float
        Of the charge in the plenum [K]; between 230 and 450 K.
    exhaust_pressure : float
        Absolute, behind the primary [Pa]; between 30000 and 600000 Pa.
    half_burned : float, default 0.13962634015954636
        Crank angle after top centre at which half the charge has burned, where the setup is phased by it [rad]; between -0.3 and 1 rad.
    spark : float, default -0.4363323129985824
        Crank angle after top centre at which the burn starts, before it negative, where the setup is phased by the spark; a flame's slow growth is in the burn law [rad]; between -1.3 and 0.5 rad.
    collector_temperature : float, default 1050.0
        Of burned gas that comes back from behind the primary, where the setup holds it [K]; between 280 and 1500 K.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, speed: float, plenum_pressure: float, plenum_temperature: float, exhaust_pressure: float, half_burned: float = 0.13962634015954636, spark: float = -0.4363323129985824, collector_temperature: float = 1050.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, speed: float = ..., plenum_pressure: float = ..., plenum_temperature: float = ..., exhaust_pressure: float = ..., half_burned: float = ..., spark: float = ..., collector_temperature: float = ...) -> CyclePoint:
        """
        The same with some values changed.
        """
    @property
    def collector_temperature(self) -> float:
        """
        Of burned gas that comes back from behind the primary, where the setup holds it [K]; between 280 and 1500 K
        """
    @property
    def exhaust_pressure(self) -> float:
        """
        Absolute, behind the primary [Pa]; between 30000 and 600000 Pa
        """
    @property
    def half_burned(self) -> float:
        """
        Crank angle after top centre at which half the charge has burned, where the setup is phased by it [rad]; between -0.3 and 1 rad
        """
    @property
    def plenum_pressure(self) -> float:
        """
        Absolute, at rest at the mouth of the runner [Pa]; between 10000 and 600000 Pa
        """
    @property
    def plenum_temperature(self) -> float:
        """
        Of the charge in the plenum [K]; between 230 and 450 K
        """
    @property
    def spark(self) -> float:
        """
        Crank angle after top centre at which the burn starts, before it negative, where the setup is phased by the spark; a flame's slow growth is in the burn law [rad]; between -1.3 and 0.5 rad
        """
    @property
    def speed(self) -> float:
        """
        Of the crank [rad/s]; between 20 and 2000 rad/s
        """
class SparkSearch:
    """
    What is sought over the phasing of a point, and where.
    
    Parameters
    ----------
    knock_level : float, default 1.0
        Knock integral that counts as the limit; 1 is its onset in the mean cycle [dimensionless]; between 0.01 and 10.
    earliest : float, default -0.17453292519943295
        Earliest crank angle after top centre of half burned that is tried [rad]; between -0.3 and 0.3 rad.
    latest : float, default 0.7853981633974483
        The latest [rad]; between 0.31 and 1 rad.
    earliest_best : float, default 0.13962634015954636
        Earliest half burned that counts as best torque, unless the point's own is earlier; common practice 8 to 10 degrees [rad]; between -0.3 and 0.3 rad.
    step : float, default 0.10471975511965977
        Between the first trials about the point's own phasing [rad]; between 0.02 and 0.3 rad.
    tolerance : float, default 0.0017453292519943296
        To which a phasing is found [rad]; between 1e-05 and 0.01 rad.
    spark_delay : float, default 0.0
        From the spark to the start of the burn law; Wiebe's slow first part already holds most of a flame's growth [s]; between 0 and 0.003 s.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, knock_level: float = 1.0, earliest: float = -0.17453292519943295, latest: float = 0.7853981633974483, earliest_best: float = 0.13962634015954636, step: float = 0.10471975511965977, tolerance: float = 0.0017453292519943296, spark_delay: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, knock_level: float = ..., earliest: float = ..., latest: float = ..., earliest_best: float = ..., step: float = ..., tolerance: float = ..., spark_delay: float = ...) -> SparkSearch:
        """
        The same with some values changed.
        """
    @property
    def earliest(self) -> float:
        """
        Earliest crank angle after top centre of half burned that is tried [rad]; between -0.3 and 0.3 rad
        """
    @property
    def earliest_best(self) -> float:
        """
        Earliest half burned that counts as best torque, unless the point's own is earlier; common practice 8 to 10 degrees [rad]; between -0.3 and 0.3 rad
        """
    @property
    def knock_level(self) -> float:
        """
        Knock integral that counts as the limit; 1 is its onset in the mean cycle [dimensionless]; between 0.01 and 10
        """
    @property
    def latest(self) -> float:
        """
        The latest [rad]; between 0.31 and 1 rad
        """
    @property
    def spark_delay(self) -> float:
        """
        From the spark to the start of the burn law; Wiebe's slow first part already holds most of a flame's growth [s]; between 0 and 0.003 s
        """
    @property
    def step(self) -> float:
        """
        Between the first trials about the point's own phasing [rad]; between 0.02 and 0.3 rad
        """
    @property
    def tolerance(self) -> float:
        """
        To which a phasing is found [rad]; between 1e-05 and 0.01 rad
        """
class CycleControls:
    """
    How finely to step, and when to stop.
    
    Parameters
    ----------
    courant : float, default 0.95
        Time step over the time a wave needs to cross a cell [dimensionless]; between 0.05 and 0.98.
    largest_step : float, default 0.017453292519943295
        Largest crank step [rad]; between 0.0001 and 0.05 rad.
    tolerance : float, default 0.0003
        Distance from the settled cycle at which a point counts as converged: what changes of trapped charge from cycle to cycle, or those of the mass and energy stored, would still sum up to [dimensionless]; between 1e-13 and 0.01.
    most_cycles : float, default 60.0
        Cycles after which a point counts as not converged [dimensionless]; between 2 and 1000.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, courant: float = 0.95, largest_step: float = 0.017453292519943295, tolerance: float = 0.0003, most_cycles: float = 60.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, courant: float = ..., largest_step: float = ..., tolerance: float = ..., most_cycles: float = ...) -> CycleControls:
        """
        The same with some values changed.
        """
    @property
    def courant(self) -> float:
        """
        Time step over the time a wave needs to cross a cell [dimensionless]; between 0.05 and 0.98
        """
    @property
    def largest_step(self) -> float:
        """
        Largest crank step [rad]; between 0.0001 and 0.05 rad
        """
    @property
    def most_cycles(self) -> float:
        """
        Cycles after which a point counts as not converged [dimensionless]; between 2 and 1000
        """
    @property
    def tolerance(self) -> float:
        """
        Distance from the settled cycle at which a point counts as converged: what changes of trapped charge from cycle to cycle, or those of the mass and energy stored, would still sum up to [dimensionless]; between 1e-13 and 0.01
        """
class EngineRoom:
    """
    A plenum, or the merge of a collector: a volume that pipes of several cylinders open into.
    
    Parameters
    ----------
    volume : float
        Of the gas in it, pipes left out [m^3]; between 2e-05 and 0.2 m^3.
    outer_correction : float, default 0.6133
        Length by which the far end of its pipe acts longer, over its radius; 0.61 for a plain end, 0 for one that goes over into another merge [dimensionless]; between 0 and 1.
    pipe : Runner | None, default None
        From the room (near end) to the outside or into another room (far end); None, and no opening: the flow to the outside is steady, as behind a long duct, and such that the room's mean pressure is the point's.
    opening : Throttle | None, default None
        A nozzle to the outside in place of a pipe; its jet is lost in the room.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, volume: float, outer_correction: float = 0.6133, pipe: Runner | None = None, opening: Throttle | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, volume: float = ..., outer_correction: float = ..., pipe: Runner | None = ..., opening: Throttle | None = ...) -> EngineRoom:
        """
        The same with some values changed.
        """
    @property
    def opening(self) -> Throttle | None:
        """
        A nozzle to the outside in place of a pipe; its jet is lost in the room
        """
    @property
    def outer_correction(self) -> float:
        """
        Length by which the far end of its pipe acts longer, over its radius; 0.61 for a plain end, 0 for one that goes over into another merge [dimensionless]; between 0 and 1
        """
    @property
    def pipe(self) -> Runner | None:
        """
        From the room (near end) to the outside or into another room (far end); None, and no opening: the flow to the outside is steady, as behind a long duct, and such that the room's mean pressure is the point's
        """
    @property
    def volume(self) -> float:
        """
        Of the gas in it, pipes left out [m^3]; between 2e-05 and 0.2 m^3
        """
class Operation:
    """
    How the engine is run at a point.
    
    Parameters
    ----------
    engine_speed : float
        Crank speed [rad/s]; between 20 and 2500 rad/s.
    engine_acceleration : float, default 0.0
        Of the crank during a sweep; 0 when held steady [rad/s^2]; between -10000 and 10000 rad/s^2.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, engine_speed: float, engine_acceleration: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, engine_speed: float = ..., engine_acceleration: float = ...) -> Operation:
        """
        The same with some values changed.
        """
    @property
    def engine_acceleration(self) -> float:
        """
        Of the crank during a sweep; 0 when held steady [rad/s^2]; between -10000 and 10000 rad/s^2
        """
    @property
    def engine_speed(self) -> float:
        """
        Crank speed [rad/s]; between 20 and 2500 rad/s
        """
class Bypass:
    """
    Valve at the plenum that vents charge above a boost.
    
    Parameters
    ----------
    opens_at : float
        Plenum pressure above ambient at which it opens [Pa]; above 0 Pa.
    effective_area : float, default 1.0
        Flow area fully open times discharge coefficient [m^2]; above 0 and at most 1 m^2.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, opens_at: float = ..., effective_area: float = 1.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, opens_at: float = ..., effective_area: float = ...) -> Bypass:
        """
        The same with some values changed.
        """
    @property
    def effective_area(self) -> float:
        """
        Flow area fully open times discharge coefficient [m^2]; above 0 and at most 1 m^2
        """
    @property
    def opens_at(self) -> float:
        """
        Plenum pressure above ambient at which it opens [Pa]; above 0 Pa
        """
class Chain:
    """
    The stations in the order the air meets them; compressor=None is the naturally aspirated engine, and None stands for any other station as it is by default.
    
    Stations are given by keyword and refused with InputError where they do not fit; see each station's own class.
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> bool:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, **kwargs) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, **kwargs) -> Chain:
        """
        The same chain with other stations, given by keyword.
        """
    def stations(self) -> dict:
        """
        Every station by name; None stands for one that is not set.
        """
    @property
    def ambient(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def breathing(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def bypass(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def charge_duct(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def combustion(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def compressor(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def cooler(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def cylinder(self) -> CycleSetup | None:
        """
        CycleSetup whose cycle makes the breathing, or None.
        """
    @property
    def discharge(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def drive(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def engine(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def exhaust(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def fuel(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def injection(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def inlet(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def operation(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def scoop(self) -> typing.Any:
        """
        Station of that name.
        """
    @property
    def supercharged(self) -> bool:
        """
        Whether it has a compressor.
        """
    @property
    def throttle(self) -> typing.Any:
        """
        Station of that name.
        """
class StationState:
    """
    The air at one station: pressure and temperature total, contents per kg of dry air.
    
    Parameters
    ----------
    name : str, default ''
        Of the station.
    pressure : float, default 0.0
        Total, absolute [Pa].
    temperature : float, default 0.0
        Total [K].
    density : float, default 0.0
        Of the gas at total state [kg/m^3].
    dry_air_flow : float, default 0.0
        Dry air [kg/s].
    mass_flow : float, default 0.0
        Air, water and fuel together [kg/s].
    vapour : float, default 0.0
        Water vapour over dry air [dimensionless].
    liquid_water : float, default 0.0
        Liquid water over dry air [dimensionless].
    fuel_vapour : float, default 0.0
        Evaporated fuel over dry air [dimensionless].
    fuel_liquid : float, default 0.0
        Liquid fuel over dry air [dimensionless].
    """
    __hash__: typing.ClassVar[None] = None
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, name: str = '', pressure: float = 0.0, temperature: float = 0.0, density: float = 0.0, dry_air_flow: float = 0.0, mass_flow: float = 0.0, vapour: float = 0.0, liquid_water: float = 0.0, fuel_vapour: float = 0.0, fuel_liquid: float = 0.0) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, name: str = ..., pressure: float = ..., temperature: float = ..., density: float = ..., dry_air_flow: float = ..., mass_flow: float = ..., vapour: float = ..., liquid_water: float = ..., fuel_vapour: float = ..., fuel_liquid: float = ...) -> StationState:
        """
        The same with some values changed.
        """
    @property
    def density(self) -> float:
        """
        Of the gas at total state [kg/m^3]
        """
    @property
    def dry_air_flow(self) -> float:
        """
        Dry air [kg/s]
        """
    @property
    def fuel_liquid(self) -> float:
        """
        Liquid fuel over dry air [dimensionless]
        """
    @property
    def fuel_vapour(self) -> float:
        """
        Evaporated fuel over dry air [dimensionless]
        """
    @property
    def liquid_water(self) -> float:
        """
        Liquid water over dry air [dimensionless]
        """
    @property
    def mass_flow(self) -> float:
        """
        Air, water and fuel together [kg/s]
        """
    @property
    def name(self) -> str:
        """
        Of the station
        """
    @property
    def pressure(self) -> float:
        """
        Total, absolute [Pa]
        """
    @property
    def temperature(self) -> float:
        """
        Total [K]
        """
    @property
    def vapour(self) -> float:
        """
        Water vapour over dry air [dimensionless]
        """
class LiftOff:
    """
    How a throttle shuts, and what stands between compressor and engine.
    
    Parameters
    ----------
    volume : float
        Of the air between compressor and throttle, the cooler's with it [m^3]; between 0.0005 and 1 m^3.
    plenum_volume : float
        Of the air between throttle and inlet valves [m^3]; between 0.0005 and 1 m^3.
    length : float
        Of the way from the compressor to where most of that volume is [m]; between 0.05 and 20 m.
    flow_area : float
        Along that way [m^2]; between 0.0001 and 1 m^2.
    closing_time : float, default 0.1
        In which the throttle's area falls evenly from open to shut [s]; between 0.005 and 5 s.
    shut_opening : float, default 0.01
        Share of its open area that the throttle leaves when shut [dimensionless]; between 1e-06 and 1.
    deceleration : float, default 0.0
        Of the crank from the moment the throttle begins to shut; 0 is held speed [rad/s^2]; between 0 and 10000 rad/s^2.
    duration : float, default 0.6
        Looked at after throttle and bypass have moved [s]; between 0.1 and 20 s.
    lag : float, default 2.0
        Turns of the rotor in which the pressure follows the characteristic [dimensionless]; between 0.1 and 20.
    shut_off_head : float, default 0.8
        Logarithm of the pressure ratio at no flow over that at the left end of the map [dimensionless]; between 0.3 and 0.98.
    step : float, default 0.0002
        Of the integration, at most [s]; between 1e-06 and 0.001 s.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, volume: float, plenum_volume: float, length: float, flow_area: float, closing_time: float = 0.1, shut_opening: float = 0.01, deceleration: float = 0.0, duration: float = 0.6, lag: float = 2.0, shut_off_head: float = 0.8, step: float = 0.0002) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, volume: float = ..., plenum_volume: float = ..., length: float = ..., flow_area: float = ..., closing_time: float = ..., shut_opening: float = ..., deceleration: float = ..., duration: float = ..., lag: float = ..., shut_off_head: float = ..., step: float = ...) -> LiftOff:
        """
        The same with some values changed.
        """
    @property
    def closing_time(self) -> float:
        """
        In which the throttle's area falls evenly from open to shut [s]; between 0.005 and 5 s
        """
    @property
    def deceleration(self) -> float:
        """
        Of the crank from the moment the throttle begins to shut; 0 is held speed [rad/s^2]; between 0 and 10000 rad/s^2
        """
    @property
    def duration(self) -> float:
        """
        Looked at after throttle and bypass have moved [s]; between 0.1 and 20 s
        """
    @property
    def flow_area(self) -> float:
        """
        Along that way [m^2]; between 0.0001 and 1 m^2
        """
    @property
    def lag(self) -> float:
        """
        Turns of the rotor in which the pressure follows the characteristic [dimensionless]; between 0.1 and 20
        """
    @property
    def length(self) -> float:
        """
        Of the way from the compressor to where most of that volume is [m]; between 0.05 and 20 m
        """
    @property
    def plenum_volume(self) -> float:
        """
        Of the air between throttle and inlet valves [m^3]; between 0.0005 and 1 m^3
        """
    @property
    def shut_off_head(self) -> float:
        """
        Logarithm of the pressure ratio at no flow over that at the left end of the map [dimensionless]; between 0.3 and 0.98
        """
    @property
    def shut_opening(self) -> float:
        """
        Share of its open area that the throttle leaves when shut [dimensionless]; between 1e-06 and 1
        """
    @property
    def step(self) -> float:
        """
        Of the integration, at most [s]; between 1e-06 and 0.001 s
        """
    @property
    def volume(self) -> float:
        """
        Of the air between compressor and throttle, the cooler's with it [m^3]; between 0.0005 and 1 m^3
        """
class ReliefValve:
    """
    A valve ahead of the throttle that lets the air out as the throttle shuts.
    
    Parameters
    ----------
    effective_area : float, default 0.0
        Flow area fully open times discharge coefficient; 0 is no valve [m^2]; between 0 and 1 m^2.
    delay : float, default 0.02
        From the moment the throttle begins to shut until the valve begins to open [s]; between 0 and 5 s.
    opening_time : float, default 0.05
        In which its area grows evenly from none to all [s]; between 0.001 and 5 s.
    """
    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def fields() -> list:
        """
        fields() -> list[tuple[str, str, float, float, str]]
        
        Name, SI unit, lowest and highest value, and meaning of every number.
        """
    def __eq__(self, arg0: typing.Any) -> typing.Any:
        ...
    def __getstate__(self) -> dict:
        ...
    def __init__(self, *, effective_area: float = 0.0, delay: float = 0.02, opening_time: float = 0.05) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: dict) -> None:
        ...
    def replace(self, *, effective_area: float = ..., delay: float = ..., opening_time: float = ...) -> ReliefValve:
        """
        The same with some values changed.
        """
    @property
    def delay(self) -> float:
        """
        From the moment the throttle begins to shut until the valve begins to open [s]; between 0 and 5 s
        """
    @property
    def effective_area(self) -> float:
        """
        Flow area fully open times discharge coefficient; 0 is no valve [m^2]; between 0 and 1 m^2
        """
    @property
    def opening_time(self) -> float:
        """
        In which its area grows evenly from none to all [s]; between 0.001 and 5 s
        """
def air_report(ambient: Ambient) -> AirReport:
    """
    Density, dew point, density altitude and speed of sound of the air.
    """
def axis_names() -> list[str]:
    """
    Every name that an axis of `solve` may have.
    """
def breathing_table(engine_speed: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, values: numpy.typing.ArrayLike) -> BreathingTable:
    """
    A table of volumetric efficiency [dimensionless]: one row per engine speed [rad/s], one column per plenum over exhaust pressure.
    """
def charge_after_fuel(fuel: Fuel, injection: Injection, pressure: typing.SupportsFloat | typing.SupportsIndex, temperature: typing.SupportsFloat | typing.SupportsIndex, humidity_ratio: typing.SupportsFloat | typing.SupportsIndex = 0.0) -> tuple[float, float]:
    """
    Temperature [K] of air after fuel has evaporated into it, and the share of the fuel that
    did: as much as is typed, or as the air can hold. Pressure [Pa] and temperature [K] are the
    air's before the fuel, humidity is water vapour per dry air by mass [dimensionless].
    """
def columns() -> list:
    """
    Name, SI unit and meaning of every column of a result.
    """
def corrected_flow(reference: ReferenceState, air_flow: numpy.typing.ArrayLike, pressure: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, humidity_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Corrected flow [kg/s] at a map's reference state from flows of dry air [kg/s], total pressures [Pa] and temperatures [K].
    """
def corrected_speed(reference: ReferenceState, speed: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, humidity_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Corrected speed [rad/s] at a map's reference state from speeds [rad/s] and total temperatures [K].
    """
def cycle_columns() -> list:
    """
    Name, SI unit and meaning of every number of a cycle's result.
    """
def cycle_status_names() -> list[str]:
    """
    Names of the values of a cycle's status, from 0.
    """
def density_altitude(density: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Geopotential altitude [m] at which the standard atmosphere has this density [kg/m^3].
    """
def drive_loads(links: collections.abc.Sequence[GearPair | StepUp | PulleyPair], crank_speed: typing.SupportsFloat | typing.SupportsIndex, rotor_torque: typing.SupportsFloat | typing.SupportsIndex) -> list[LinkLoad]:
    """
    Loads of every link, crank first, when the impeller takes a torque [N m] at a crank speed [rad/s].
    """
def drive_rotation(links: collections.abc.Sequence[GearPair | StepUp | PulleyPair]) -> int:
    """
    +1 when the impeller turns with the crank, -1 when against it.
    """
def dry_air_density(pressure: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike, humidity_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Dry air [kg/m^3] in a volume of humid air at pressures [Pa] and temperatures [K].
    """
def duct_from_pressure_drop(pressure_drop: typing.SupportsFloat | typing.SupportsIndex, mass_flow: typing.SupportsFloat | typing.SupportsIndex, density: typing.SupportsFloat | typing.SupportsIndex) -> Duct:
    """
    The duct that loses a total pressure [Pa] at a mass flow [kg/s] and entry density [kg/m^3].
    """
def ducts_in_series(ducts: collections.abc.Sequence[Duct]) -> Duct:
    """
    Several ducts one after another as one, on the first one's area.
    """
def effective_area(bench: FlowBench, valve_diameter: typing.SupportsFloat | typing.SupportsIndex, valves: typing.SupportsInt | typing.SupportsIndex = 1) -> Curve:
    """
    Effective area [m^2] of a port over valve lift [m], as an isentropic nozzle's, for a valve diameter [m].
    """
def effectiveness(arrangement: str, transfer_units: typing.SupportsFloat | typing.SupportsIndex, capacity_ratio: typing.SupportsFloat | typing.SupportsIndex, charge_is_smaller: bool = True) -> float:
    """
    Effectiveness [dimensionless] from transfer units (0 to 20) and capacity-rate ratio (0 to 1). Arrangements: counterflow, parallel, crossflow_unmixed, crossflow_charge_mixed, crossflow_coolant_mixed.
    """
def effectiveness_curve(arrangement: str, conductance: typing.SupportsFloat | typing.SupportsIndex, reference_flow: typing.SupportsFloat | typing.SupportsIndex, flow_exponent: typing.SupportsFloat | typing.SupportsIndex, coolant_capacity_rate: typing.SupportsFloat | typing.SupportsIndex, most_flow: typing.SupportsFloat | typing.SupportsIndex) -> Curve:
    """
    Curve of charge-side effectiveness against charge mass flow up to most_flow [kg/s] from a conductance UA [W/K] at reference_flow [kg/s] that varies with flow to flow_exponent, and the coolant's capacity rate [W/K].
    """
def engine_states(chain: Chain, engine_speed: numpy.typing.ArrayLike, plenum_pressure: numpy.typing.ArrayLike, plenum_temperature: numpy.typing.ArrayLike) -> dict:
    """
    What the engine of a chain takes at engine speeds [rad/s] from plenums of a pressure [Pa] and a
    temperature [K], whatever feeds them; a column by name, NaN where status is not 0.
    """
def estimated_inducer_throat_area(impeller: Impeller) -> float:
    """
    Inducer throat area [m^2] from blade angle and thickness, for an impeller not yet measured.
    """
def events_at_checking_lift(camshaft: Camshaft) -> dict:
    """
    Crank angles [rad] at 0.050 in tappet lift: intake_opens before top centre, intake_closes after bottom
    centre, exhaust_opens before bottom centre, exhaust_closes after top centre, overlap.
    """
def events_at_seat_lift(camshaft: Camshaft) -> dict:
    """
    The same at the seat lift of each lobe.
    """
def firing_angles(order: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex], throws: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], banks: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex]] = [], bank_angle: typing.SupportsFloat | typing.SupportsIndex = 1.5707963267948966, either_hand: bool = False) -> list[float]:
    """
    Crank angle at which each cylinder fires after cylinder 1 [rad], by its number.
    
    order names cylinders from 1; throws tell how far the crank turns until each throw stands where the
    first one stood [rad], one for each place of a bank or for each cylinder, none for cylinders that fire
    evenly; with either_hand their mirror image is tried too. banks name the cylinders of each bank from
    the front; bank_angle [rad] stands between two banks.
    Raises InputError for cylinders named twice or not at all and for an order that the crank cannot have.
    """
def flag_names() -> list[str]:
    """
    Names of the bits of the flags column, from the lowest.
    """
def fuel_vapour_pressure(fuel: Fuel, temperature: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Pressure of a fuel's vapour over its liquid [Pa] at a temperature [K], 200 to 400 K.
    """
def gear_stress(pair: GearPair, teeth: GearTeeth, pitch_line_speed: typing.SupportsFloat | typing.SupportsIndex, tangential_force: typing.SupportsFloat | typing.SupportsIndex) -> GearStress:
    """
    Stresses of a pair at a pitch-line speed [m/s] and tangential force [N].
    """
def generic_fuel(name: str) -> Fuel:
    """
    A generic fuel by name.
    """
def generic_fuel_names() -> list[str]:
    """
    Names that `generic_fuel` knows.
    """
def generic_fuel_words(name: str) -> str:
    """
    What a generic fuel is and where its figures come from.
    """
def generic_viscosity(fuel: str) -> float:
    """
    Dynamic viscosity [Pa s] of a generic fuel at 25 degC.
    """
def humidity_ratio(vapour_pressure: numpy.typing.ArrayLike, pressure: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Water vapour per dry air by mass [dimensionless] at vapour pressures [Pa] and total pressures [Pa].
    """
def instruction_set() -> str:
    """
    Instruction set that `solve` uses here: avx512, avx2 or baseline.
    """
def lewis_form_factor(teeth: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Form factor [dimensionless] of a full-depth tooth of 20 degrees loaded at its tip.
    """
def lift_off(chain: Chain, how: LiftOff, valve: ReliefValve) -> dict:
    """
    The throttle of a chain shuts at its operation, solved in time: status and flags of the open point,
    kind (none, passing, mild or deep surge), the numbers of `lift_off_numbers`, and moments, an array by name
    of `lift_off_columns`. Numbers are NaN unless matched.
    """
def lift_off_columns() -> list:
    """
    Name, SI unit and meaning of what every moment tells.
    """
def lift_off_numbers() -> list:
    """
    Name, SI unit and meaning of the numbers that tell a whole course.
    """
def longest_opening(chain: Chain, how: LiftOff, valve: ReliefValve, wanted: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Longest opening time [s], up to 5, at which a valve of this area and delay does the same; NaN: none does.
    """
def measured_effectiveness(mass_flow: numpy.typing.ArrayLike, effectiveness: numpy.typing.ArrayLike) -> Curve:
    """
    Curve through measured effectivenesses [dimensionless] at charge mass flows [kg/s].
    """
def measured_efficiency(inlet_pressure: numpy.typing.ArrayLike, inlet_temperature: numpy.typing.ArrayLike, outlet_pressure: numpy.typing.ArrayLike, outlet_temperature: numpy.typing.ArrayLike, humidity_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Isentropic efficiency [dimensionless] from total pressures [Pa] and temperatures [K] before and behind a compressor; NaN where the air was not heated.
    """
def measured_work(inlet_pressure: numpy.typing.ArrayLike, inlet_temperature: numpy.typing.ArrayLike, outlet_pressure: numpy.typing.ArrayLike, outlet_temperature: numpy.typing.ArrayLike, humidity_ratio: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Rise of stagnation enthalpy [J/kg dry air] from the same readings.
    """
def needed_area(chain: Chain, how: LiftOff, valve: ReliefValve, wanted: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Smallest effective area [m^2] of a valve that moves as this one and keeps the compressor right of the left
    end of its map, at last by the factor wanted (1 to 3); 0: none is needed, inf: none does, NaN: no answer.
    """
def ordered_from_surge(line: SpeedLine, gamma: typing.SupportsFloat | typing.SupportsIndex) -> SpeedLine:
    """
    The same line with its points ordered from surge to choke.
    """
def outside_power_standard(standard: str, dry_pressure: typing.SupportsFloat | typing.SupportsIndex, temperature: typing.SupportsFloat | typing.SupportsIndex) -> list[tuple[str, float, float, float]]:
    """
    What of a dry-air pressure [Pa] and air temperature [K] lies outside a power standard: temperature [K], dry_pressure [Pa] or factor [dimensionless], its value, and the lowest and highest that the standard holds for; empty when nothing does.
    """
def power_correction(standard: str, dry_pressure: numpy.typing.ArrayLike, temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Corrected over observed power [dimensionless] at dry-air pressures [Pa] and air temperatures [K]; given outside the standard too, see `outside_power_standard`.
    """
def power_standard_objection(standard: str, induction: str) -> str:
    """
    Why a power standard does not hold for an induction (aspirated, mechanical or held_boost), in words; empty when it does.
    """
def power_standards() -> dict:
    """
    Words, dry reference pressure [Pa] and reference temperature [K] of every power standard.
    """
def predict_map(stage: Stage, speeds: numpy.typing.ArrayLike, points_per_line: typing.SupportsInt | typing.SupportsIndex = 21, reference: ReferenceState = ...) -> MapData:
    """
    A map predicted from the dimensions at rising speeds [rad/s], in the form of a measured one. Left ends are estimates of surge and marked estimated.
    """
def predicted_speeds(design_speed: typing.SupportsFloat | typing.SupportsIndex, count: typing.SupportsInt | typing.SupportsIndex = 9) -> list[float]:
    """
    Speeds [rad/s] evenly from 30 to 110 % of the design speed [rad/s].
    """
def reduce_drive(links: collections.abc.Sequence[GearPair | StepUp | PulleyPair], rest: Drive = ...) -> Drive:
    """
    The drive of an ordered train of links, crank first; what the links do not say is taken from rest.
    """
def reflected_inertia(rotor_inertia: typing.SupportsFloat | typing.SupportsIndex, speed_ratio: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Inertia [kg m^2] that a rotor of an inertia [kg m^2] adds at the crank.
    """
def relative_humidity_from_dew_point(temperature: typing.SupportsFloat | typing.SupportsIndex, dew_point: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Relative humidity [dimensionless] of air at a temperature [K] with a dew point [K] (over ice below 0 degC).
    """
def require_each_once(groups: collections.abc.Sequence[collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex]], cylinders: typing.SupportsInt | typing.SupportsIndex, field: str, lost: str) -> None:
    """
    Raise InputError unless groups hold each of so many cylinders once.
    """
def run_cycles(setup: CycleSetup, points: dict, controls: CycleControls = ..., threads: typing.SupportsInt | typing.SupportsIndex = 0, progress: typing.Any = None, line: typing.SupportsInt | typing.SupportsIndex = 1) -> dict:
    """
    Solve operating points of one cylinder.
    
    points maps fields of CyclePoint to numbers or one-dimensional arrays of one length; the
    result maps each of cycle_columns() and status to an array of that length, or to a number
    where all are numbers, in SI. Bitwise the same alone, in a batch and for any number of
    threads (0: all). progress is called with the number of points done. With a line above 1
    points stand in lines of so many, each warm from the one before: faster where neighbours
    are alike.
    Raises InputError for a setup or point that is refused, before any work.
    """
def run_engines(kinds: collections.abc.Sequence[CycleSetup], kind: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex], firing: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], collector: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex], plenum: EngineRoom | None, collectors: collections.abc.Sequence[EngineRoom], into: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex], points: dict, later: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], controls: CycleControls = ..., threads: typing.SupportsInt | typing.SupportsIndex = 0, progress: typing.Any = None, traced: bool = False, mark: typing.SupportsFloat | typing.SupportsIndex = 0.0) -> typing.Any:
    """
    Solve operating points of a whole engine, every cylinder in its firing order.
    
    kinds are the CycleSetups that differ; kind, firing [rad] and collector tell each cylinder's. plenum
    is an EngineRoom, or None for gas that stands at the point's state whatever flows. collectors are
    EngineRooms, one that stands for all or each, none for gas that stands; into tells of each the one
    before it in the list that its pipe ends in, -1 for the outside, in no list for all.
    points as for `run_cycles`; later [rad] is by how much each cylinder burns later, in one row for all points or one after another for each. The result maps
    cycle_columns() and status to arrays over points and cylinders, room_pressure [Pa],
    room_temperature [K] and room_burned to arrays over points and rooms (plenum, collectors),
    rounds, whole_change, whole_mass_error and whole_energy_error to arrays over points; with traced,
    traces to one table a point: crank angle [rad], pressures [Pa] of plenum and collectors, then of
    all cylinders inside, in runner and primary beside the valves. Steps end at marks, mark [rad] apart, 0 for none.
    Raises InputError for what is refused, before any work.
    """
def run_spark_searches(setup: CycleSetup, points: dict, search: SparkSearch = ..., controls: CycleControls = ..., threads: typing.SupportsInt | typing.SupportsIndex = 0, progress: typing.Any = None) -> dict:
    """
    Find best-torque and knock-limited phasing of operating points, given as to run_cycles.
    
    The result maps each of spark_columns(), best_search and limit_search (numbers of
    spark_status_names()) and, with own_, best_ or limit_ before it, each column of run_cycles
    at the point's own phasing, at best torque and at the limit of knock to an array. What was
    not found is NaN. An estimate, uncalibrated above octane 100, and no permission.
    Raises InputError for a setup, point or search that is refused, before any work.
    """
def saturation_pressure(temperature: numpy.typing.ArrayLike) -> float | numpy.typing.NDArray[numpy.float64]:
    """
    Saturation pressure of water [Pa] at temperatures [K], over ice below 0 degC.
    """
def scaled(data: MapData, diameter_ratio: typing.SupportsFloat | typing.SupportsIndex, flow_scale: typing.SupportsFloat | typing.SupportsIndex = 1.0) -> MapData:
    """
    The map of a geometrically similar compressor: every length times diameter_ratio, and besides the flow times flow_scale (both dimensionless).
    """
def solve(chain: Chain, axes: dict, columns: collections.abc.Sequence[str] | None = None, threads: typing.SupportsInt | typing.SupportsIndex = 0, progress: typing.Any = None) -> dict:
    """
    Solve a chain at every point of a grid.
    
    axes maps engine_speed [rad/s] or station.field [SI] to one-dimensional arrays or single
    numbers; the result maps each column to an array of the grid's shape, to a number if it
    has none, in SI. Bitwise the same for any
    number of threads (0: all). progress is called with the number of points done.
    Raises InputError for an axis or column that is not there or out of range.
    """
def solve_chains(chains: collections.abc.Sequence[Chain], engine_speed: numpy.typing.ArrayLike, threads: typing.SupportsInt | typing.SupportsIndex = 0, progress: typing.Any = None) -> dict:
    """
    Solve chains that breathe by the cycles of one cylinder, each at every engine speed [rad/s].
    
    The result maps each column to an array over chains and speeds, in SI. A point is bitwise the same
    as alone by `solve`, but many fill the lanes better. progress is called with the number of points
    done.
    Raises InputError for chains without a cylinder or of several.
    """
def spark_columns() -> list:
    """
    Name, SI unit and meaning of every number of a spark search beside its cycles.
    """
def spark_status_names() -> list[str]:
    """
    Names of how a search ended, from 0.
    """
def speed_line_from_points(speed: numpy.typing.ArrayLike, flow: numpy.typing.ArrayLike, pressure_ratio: numpy.typing.ArrayLike, efficiency: numpy.typing.ArrayLike, gamma: typing.SupportsFloat | typing.SupportsIndex) -> SpeedLine:
    """
    One line from points in any order, each at its own corrected speed [rad/s], brought to the mean speed by similarity.
    """
def standard_density(altitude: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Density [kg/m^3] of the US Standard Atmosphere 1976 at a geopotential altitude [m].
    """
def standard_pressure(altitude: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Pressure [Pa] of the US Standard Atmosphere 1976 at a geopotential altitude [m], -1000 to 11000 m.
    """
def standard_temperature(altitude: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Temperature [K] of the US Standard Atmosphere 1976 at a geopotential altitude [m].
    """
def station_pressure(altimeter_setting: typing.SupportsFloat | typing.SupportsIndex, altitude: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Station pressure [Pa] from an altimeter setting [Pa] and the station's altitude [m], -500 to 6000 m; US Standard Atmosphere 1976.
    """
def station_states(chain: Chain) -> list[StationState]:
    """
    The stations of a chain at its operation, in the order the air meets them; NaN where the point has no answer.
    """
def status_names() -> list[str]:
    """
    Names of the values of the status column, from 0.
    """
def supply_columns() -> list:
    """
    Name, SI unit and meaning of the columns of `supply_points`.
    """
def supply_points(supply: Supply, engine_speed: numpy.typing.ArrayLike, fuel_flow: numpy.typing.ArrayLike, pressure: numpy.typing.ArrayLike, reference: numpy.typing.ArrayLike, ambient_pressure: typing.SupportsFloat | typing.SupportsIndex) -> dict:
    """
    The supply at engine speeds [rad/s] and fuel flows [kg/s], spraying into pressures [Pa], its regulator
    feeling reference pressures [Pa]; a column by name.
    """
def throws_of(crank: str, in_a_bank: typing.SupportsInt | typing.SupportsIndex) -> list[float]:
    """
    Angles of the throws [rad] of a crank that goes by a name, crossplane or flat, for so many cylinders in a bank.
    
    Raises InputError where the name does not fit.
    """
def timed_columns() -> list:
    """
    Name, SI unit and meaning of the columns that only a timed pull has.
    """
def timed_pull(chain: Chain, tank: IceTank, engine_speed: numpy.typing.ArrayLike, acceleration: typing.SupportsFloat | typing.SupportsIndex) -> dict:
    """
    Solve a chain over rising engine speeds [rad/s] at a constant acceleration [rad/s^2] while
    the cooler heats the water of a tank, or of none. The columns of `solve`, and time [s],
    ice_mass and water_mass [kg].
    """
def trace_columns() -> list:
    """
    Name, SI unit and meaning of every array of a trace.
    """
def trace_cycle(setup: CycleSetup, point: CyclePoint, controls: CycleControls = ...) -> tuple:
    """
    Solve one CyclePoint and watch its last cycle: the numbers of `run_cycles`, and a mapping of
    every one of trace_columns() to an array over its steps.
    """
def valve_area(lift: LiftCurve, peak: typing.SupportsFloat | typing.SupportsIndex, bench: Curve) -> ValveArea:
    """
    Effective area through the event of a lobe whose peak stands at a crank angle [rad] after firing top
    centre; `bench` is made by `effective_area`. Raises InputError where the lift exceeds its last row.
    """
CHECKING_LIFT: float = 0.00127
KNOCK_DOUBT: float = 0.08726646259971647
KNOCK_OCTANE: tuple = (80.0, 100.0)
MEAN_VALUE_DOUBTS: dict = {'net_work': (0.011, 0.035, 0.09), 'pumping': (0.0045, 0.031, 0.075), 'wall_heat': (0.047, 0.12, 0.22), 'peak_pressure': (0.016, 0.045, 0.18), 'exhaust_temperature': (20.0, 60.0, 125.0)}
SEAT_LIFT: float = 0.0001524
__version__: str = '0.1.0'
