"""
Compiled heart of twintrack; use it through the package `twintrack`.
"""

from __future__ import annotations
import collections.abc
import numpy
import numpy.typing
import typing

class InvalidParameter(ValueError):
    pass

@typing.dataclass_transform(kw_only_default=True, frozen_default=True)
class _Parameters:
    """What every parameter object has."""

    @classmethod
    def from_dict(cls, values: dict[str, typing.Any]) -> typing.Self:
        """The inverse of `to_dict`; fields left out keep their default."""
    @staticmethod
    def fields() -> list[FieldInfo]:
        """Name, unit, kind, range, default and meaning of every field."""
    def __copy__(self) -> typing.Self: ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> typing.Self: ...
    def __eq__(self, other: object) -> bool: ...
    def __hash__(self) -> int: ...
    def replace(self, changes: dict[str, typing.Any] = ..., **more: typing.Any) -> typing.Self:
        """A changed copy; keys are field names or dotted paths such as "tracks[1].noise"."""
    def to_dict(self) -> dict[str, typing.Any]:
        """Nested plain values, by field name."""

class FieldInfo:
    """Description of one field of a parameter object."""
    def __repr__(self) -> str: ...
    @property
    def choices(self) -> typing.Any: ...
    @property
    def default(self) -> typing.Any: ...
    @property
    def kind(self) -> str: ...
    @property
    def least(self) -> float: ...
    @property
    def meaning(self) -> str: ...
    @property
    def most(self) -> float: ...
    @property
    def name(self) -> str: ...
    @property
    def struct(self) -> str: ...
    @property
    def unit(self) -> str: ...

class Outcome:
    """How a run ended."""
    def __repr__(self) -> str: ...
    @property
    def ok(self) -> bool: ...
    @property
    def reason(self) -> str: ...
    @property
    def status(self) -> str:
        """completed, interrupted, numerical failure or unit failed."""
    @property
    def when(self) -> float:
        """[s] simulated time at the end."""

class Record:
    """Signals over time: columns of equal length, read-only views tied to this object."""
    def __getitem__(self, name: str) -> numpy.typing.NDArray[numpy.float64]:
        """One signal, shape (n,)."""
    def __len__(self) -> int: ...
    def matrix(self) -> numpy.typing.NDArray[numpy.float64]:
        """A copy of all signals, shape (n, signals), time first."""
    @property
    def names(self) -> list[str]:
        """Names of the signals, in the order of the columns."""
    @property
    def time(self) -> numpy.typing.NDArray[numpy.float64]:
        """[s], shape (n,)."""
    @property
    def units(self) -> dict[str, str]:
        """Unit of each signal; empty for a number without dimension."""

class MotorParameters(_Parameters):
    """Brushed DC motor and its gear."""

    resistance: float = ...  # [ohm] armature resistance at 20 degC; 0.05 … 100
    inductance: float = ...  # [H] armature inductance; 1e-05 … 0.1
    constant: float = ...  # [N*m/A] torque constant of the motor shaft; 0.0001 … 10
    brush_drop: float = ...  # [V] voltage lost at the brushes; 0 … 3
    temperature: float = ...  # [degC] winding temperature; -60 … 250
    gear_ratio: float = ...  # gear ratio, motor over blade; 1 … 200
    gear_efficiency: float = ...  # gear efficiency; 0.3 … 1

class BridgeParameters(_Parameters):
    """Motor bridge and the supply behind it."""

    switch_resistance: float = ...  # [ohm] on-resistance of one bridge switch; 0 … 10
    supply_resistance: float = ...  # [ohm] internal resistance of the supply; 0 … 10
    diode_drop: float = ...  # [V] forward voltage of one freewheel diode; 0 … 3
    current_limit: float = ...  # [A] current at which the bridge stops pushing; 0.1 … 200

class BridgeGuardParameters(_Parameters):
    """Protection of the motor bridge."""

    enabled: bool = ...  # the bridge protects itself
    undervoltage: float = ...  # [V] supply below which the bridge opens; 0 … 36
    undervoltage_release: float = ...  # [V] supply at which it drives again; 0 … 36
    trip_current: float = ...  # [A] current in a switch that opens the bridge; 0.1 … 1000
    difference: float = ...  # [A] largest difference of the currents of the two leads; 0.01 … 100
    retry_time: float = ...  # [s] open after an over-current; 0.0001 … 60
    retries: int = ...  # tries after an over-current before it stays open; 0 … 1000
    junction_resistance: float = ...  # [K/W] from junction to surroundings; 0.001 … 10000
    junction_capacity: float = ...  # [J/K] heat capacity of the junction; 1e-06 … 1e+06
    ambient: float = ...  # [degC] surroundings of the bridge; -60 … 150
    derate_from: float = ...  # [degC] junction temperature above which current is limited; 0 … 400
    shut_down: float = ...  # [degC] junction temperature at which the bridge opens; 0 … 400

class ThermalParameters(_Parameters):
    """Heat of the motor: winding and housing."""

    winding_capacity: float = ...  # [J/K] heat capacity of the winding; 0.01 … 1e+06
    housing_capacity: float = ...  # [J/K] heat capacity of the housing; 0.01 … 1e+06
    winding_to_housing: float = ...  # [K/W] thermal resistance inside; 0.001 … 10000
    housing_to_ambient: float = ...  # [K/W] thermal resistance outside; 0.001 … 10000
    ambient: float = ...  # [degC] surroundings of the motor; -60 … 200
    magnet_coefficient: float = ...  # [1/K] change of the torque constant; -0.005 … 0
    derate_from: float = ...  # [degC] winding temperature above which current is limited; 0 … 400
    winding_limit: float = ...  # [degC] highest winding temperature; 0 … 400

class SpringParameters(_Parameters):
    """Return and opener spring about the default position."""

    rest_angle: float = ...  # [rad] default position of the unpowered blade; -10 … 1.5
    open_preload: float = ...  # [N*m] preload of the return spring; 0 … 10
    open_rate: float = ...  # [N*m/rad] rate of the return spring; 0 … 10
    close_preload: float = ...  # [N*m] preload of the opener spring; 0 … 10
    close_rate: float = ...  # [N*m/rad] rate of the opener spring; 0 … 10
    width: float = ...  # [rad] angle over which a preload builds up; 0.0001 … 0.1

class FrictionParameters(_Parameters):
    """Friction at the blade shaft."""

    kind: typing.Literal["bristle", "simple"] = ...  # friction model
    coulomb: float = ...  # [N*m] sliding friction; 1e-05 … 20
    breakaway: float = ...  # [N*m] static friction, not below the sliding one; 1e-05 … 20
    stribeck_speed: float = ...  # [rad/s] speed over which static friction fades; 0.0001 … 100
    viscous: float = ...  # [N*m*s/rad] viscous friction; 0 … 10
    bristle_stiffness: float = ...  # [N*m/rad] stiffness before sliding; 0.1 … 1e+06
    bristle_damping: float = ...  # [N*m*s/rad] damping before sliding; 0 … 1000
    smoothing_speed: float = ...  # [rad/s] speed over which the simple model changes sign; 1e-05 … 10

class StopParameters(_Parameters):
    """Closed and open stop."""

    closed_angle: float = ...  # [rad] closed stop; -0.2 … 1
    open_angle: float = ...  # [rad] open stop; 0.2 … 2
    stiffness: float = ...  # [N*m/rad] contact stiffness; 10 … 1e+06
    damping: float = ...  # [s/rad] contact damping; 0 … 10

class BacklashParameters(_Parameters):
    """Backlash of the gear."""

    play: float = ...  # [rad] backlash from flank to flank, at the blade; 0: none; 0 … 0.2
    motor_share: float = ...  # share of the inertia that is the motor's; 0.05 … 0.95
    stiffness: float = ...  # [N*m/rad] stiffness of the gear's teeth; 10 … 100000
    dissipation: float = ...  # [s/rad] damping of the contact; 0 … 100

class BodyMechanics(_Parameters):
    """Motor, springs, friction and stops on one shaft."""

    inertia: float = ...  # [kg*m^2] inertia referred to the blade; 1e-06 … 1
    motor: MotorParameters = ...  # motor and gear
    springs: SpringParameters = ...  # return and opener spring
    friction: FrictionParameters = ...  # friction at the shaft
    stops: StopParameters = ...  # closed and open stop
    backlash: BacklashParameters = ...  # backlash of the gear

class AirPathParameters(_Parameters):
    """Bore, shaft, leak, and the torque of the air on the blade."""

    bore: float = ...  # [m] bore diameter; 0.005 … 0.5
    shaft: float = ...  # [m] shaft diameter, below the bore; 0 … 0.4
    seat_angle: float = ...  # [rad] closed plate from the bore's normal; 0 … 0.5
    blade_zero: float = ...  # [rad] blade angle at which the plate closes; -0.5 … 1
    discharge_closed: float = ...  # discharge coefficient, closing; 0.1 … 1
    discharge_open: float = ...  # discharge coefficient, open; 0.1 … 1
    leak_area: float = ...  # [m^2] effective leak of the closed plate; 0 … 0.001
    torque_factor: float = ...  # torque of the air on the blade; 0 … 0.1

class ManifoldParameters(_Parameters):
    """Intake manifold."""

    kind: typing.Literal["isothermal", "adiabatic"] = ...  # thermal model of the manifold
    volume: float = ...  # [m^3] manifold volume; 1e-05 … 0.1
    temperature: float = ...  # [K] gas (isothermal) or wall temperature; 200 … 450
    wall_conductance: float = ...  # [W/K] heat flow from the wall; 0 … 1000

class CylinderParameters(_Parameters):
    """Cylinders: breathing and combustion."""

    count: int = ...  # number of cylinders; 1 … 16
    displacement: float = ...  # [m^3] swept volume of all cylinders; 5e-05 … 0.03
    compression_ratio: float = ...  # compression ratio; 4 … 25
    filling_constant: float = ...  # filling at standstill; 0.1 … 1.5
    filling_linear: float = ...  # [s/rad] filling by speed; -0.01 … 0.01
    filling_quadratic: float = ...  # [s^2/rad^2] filling by speed squared; -1e-05 … 1e-05
    air_share: float = ...  # share of air in what is drawn in; 0.5 … 1
    efficiency_constant: float = ...  # indicated efficiency; 0.05 … 0.6
    efficiency_linear: float = ...  # [s/rad] efficiency by speed; -0.01 … 0.01
    spark_loss: float = ...  # [1/rad^2] efficiency lost by spark retard; 0 … 10
    delay_angle: float = ...  # [rad] induction to power; 0.1 … 30
    air_fuel_ratio: float = ...  # mass of air to fuel; 5 … 40
    heating_value: float = ...  # [J/kg] lower heating value; 1e+07 … 1.3e+08

class RotationParameters(_Parameters):
    """Crankshaft: inertia, friction, starter, generator."""

    inertia: float = ...  # [kg*m^2] inertia at the crank; 0.001 … 20
    friction_constant: float = ...  # [Pa] friction pressure; 0 … 1e+06
    friction_linear: float = ...  # [Pa*s/rad] friction by speed; 0 … 10000
    friction_quadratic: float = ...  # [Pa*s^2/rad^2] friction by speed squared; 0 … 100
    cold_friction: float = ...  # added friction per 100 K below warm; 0 … 10
    warm_temperature: float = ...  # [degC] coolant when warm; 20 … 150
    generator_efficiency: float = ...  # generator efficiency; 0.1 … 1
    generator_speed: float = ...  # [rad/s] speed of full generator power; 1 … 500
    starter_torque: float = ...  # [N*m] starter at standstill; 0 … 5000
    starter_speed: float = ...  # [rad/s] speed the starter reaches; 1 … 200
    release_speed: float = ...  # [rad/s] the starter lets go; 1 … 300
    stall_speed: float = ...  # [rad/s] below it nothing burns; 0 … 200

class EngineParameters(_Parameters):
    """Mean-value engine: manifold, cylinders, crankshaft."""

    manifold: ManifoldParameters = ...  # intake manifold
    cylinders: CylinderParameters = ...  # cylinders and combustion
    rotation: RotationParameters = ...  # crankshaft, friction, loads

class IdleTargetParameters(_Parameters):
    """Idle speed and first air by coolant temperature."""

    coolant: collections.abc.Sequence[float] = ...  # [degC] knots of coolant temperature; -60 … 200
    speed: collections.abc.Sequence[float] = ...  # [rad/s] idle speed at the knots; 10 … 400
    area: collections.abc.Sequence[float] = ...  # [m^2] throttle opening to begin with; 0 … 0.001
    descent_time: float = ...  # [s] time to let the speed down; 0 … 20

class IdleAirParameters(_Parameters):
    """Idle governor: air."""

    proportional: float = ...  # [m^2*s/rad] air by speed error; 0 … 1e-05
    integral: float = ...  # [m^2/rad] air by integrated speed error; 0 … 1e-05
    least: float = ...  # [m^2] smallest opening asked for; 0 … 0.001
    most: float = ...  # [m^2] largest opening asked for; 0 … 0.01
    start_area: float = ...  # [m^2] opening while the starter turns; 0 … 0.001
    accessory_area: float = ...  # [m^2] opening for an announced load; 0 … 0.001
    dashpot_area: float = ...  # [m^2] added when the pedal is let go; 0 … 0.001
    dashpot_time: float = ...  # [s] time in which that fades; 0.001 … 20
    learn_time: float = ...  # [s] time in which idle air is learned; 0.1 … 10000
    learn_band: float = ...  # [rad/s] speed error within which it learns; 0 … 50
    learn_limit: float = ...  # [m^2] most that is learned, either way; 0 … 0.001

class IdleSparkParameters(_Parameters):
    """Idle governor: spark."""

    base: float = ...  # [rad] spark retard at the target; 0 … 1
    gain: float = ...  # [s] spark retard by speed error; 0 … 1
    most: float = ...  # [rad] largest spark retard; 0 … 1.2
    start: float = ...  # [rad] spark retard while starting; 0 … 1
    blend_time: float = ...  # [s] change to driving; 0 … 5

class IdleEntryParameters(_Parameters):
    """Idle governor: entry, exit, overrun."""

    pedal_released: float = ...  # pedal travel of a foot off; 0 … 0.5
    pedal_pressed: float = ...  # pedal travel of a foot on; 0 … 0.5
    entry_band: float = ...  # [rad/s] speed excess of immediate entry; 0 … 500
    entry_time: float = ...  # [s] entry at any speed; 0 … 60
    overrun_cut: bool = ...  # fuel cut on the overrun
    cut_above: float = ...  # [rad/s] speed excess that cuts; 1 … 1000
    resume_above: float = ...  # [rad/s] speed excess that resumes; 0 … 1000
    cut_delay: float = ...  # [s] foot off before the cut; 0 … 60

class IdleParameters(_Parameters):
    """Idle governor."""

    target: IdleTargetParameters = ...  # idle speed by coolant
    air: IdleAirParameters = ...  # air by speed
    spark: IdleSparkParameters = ...  # spark by speed
    entry: IdleEntryParameters = ...  # entry, exit and overrun

class MixtureParameters(_Parameters):
    """Fuel by an air meter, and unmetered air."""

    metered: bool = ...  # fuel follows the air meter; false: the manifold's pressure
    most_correction: float = ...  # largest correction by the exhaust; 0 … 1
    correction_time: float = ...  # [s] time constant of the correction; 0.1 … 1000
    lean_limit: float = ...  # air ratio beyond which cycles misfire; 1 … 3
    misfire: float = ...  # air ratio from which no cycle burns; 1 … 4

class EngineCourse(_Parameters):
    """What key, starter and loads do during a run."""

    start_at: float = ...  # [s] when the starter begins to turn; 0 … 1e+06
    start_for: float = ...  # [s] longest time the starter turns; 0 … 60
    key_off: float | None = ...  # [s] when the key is turned off; 0 … 1e+06
    electrical_power: float = ...  # [W] electrical load; 0 … 10000
    accessory_from: float = ...  # [s] when a load comes; 0 … 1e+06
    accessory_to: float = ...  # [s] when the load goes; 0 … 1e+06
    accessory_torque: float = ...  # [N*m] torque of the load; 0 … 200
    accessory_power: float = ...  # [W] electrical power of the load; 0 … 10000
    announced: bool = ...  # the idle governor is told of the load

class EngineSetup(_Parameters):
    """The engine behind a bench's throttle, and its idle governor."""

    name: str = ...  # name of the engine
    origin: str = ...  # what the numbers rest on
    model: EngineParameters = ...  # manifold, cylinders, crankshaft
    idle: IdleParameters = ...  # idle governor
    learned_air: float = ...  # [m^2] idle air learned before; -0.001 … 0.001
    altitude: float = ...  # [m] height above the sea; -1000 … 11000
    coolant: float = ...  # [degC] coolant temperature; -60 … 200
    air_meter: bool = ...  # air is measured ahead of the throttle
    mixture: MixtureParameters = ...  # fuel by the air meter
    course: EngineCourse = ...  # what key, starter and loads do

class TrackParameters(_Parameters):
    """One position track, ratiometric."""

    kind: typing.Literal["potentiometer", "hall"] = ...  # kind of sensor
    position: collections.abc.Sequence[float] = ...  # knots, share of travel; 0 … 1
    ratio: collections.abc.Sequence[float] = ...  # output at the knots, share of supply; 0 … 1
    bow: float = ...  # bow of the characteristic, share of supply; -0.1 … 0.1
    hysteresis: float = ...  # half width of the play, share of travel; 0 … 0.1
    noise: float = ...  # rms noise, share of supply; 0 … 0.1
    roughness: float = ...  # rms roughness of the path, share of supply; 0 … 0.01
    grain: float = ...  # distance of its independent values, share of travel; 0.0001 … 0.5
    clamp_low: float = ...  # lower output clamp, share of supply; 0 … 0.5
    clamp_high: float = ...  # upper output clamp, share of supply; 0.5 … 1
    resistance: float = ...  # [ohm] resistance: potentiometer end to end, Hall output; 1 … 100000
    def characteristic(self, position: numpy.typing.ArrayLike) -> typing.Any:
        """Output [share of supply] at `position` [share of travel], without play and noise; same shape."""

class BrakeSensorParameters(_Parameters):
    """The sensor of the brake."""

    released: float = ...  # output when released, share of the reference; 0 … 1
    full: float = ...  # output at full braking, share of the reference; 0 … 1
    applied: float = ...  # braking that counts as applied; 0 … 1
    hard: float = ...  # braking that counts as hard; 0 … 1

class IdleSwitchParameters(_Parameters):
    """A pedal's idle-validation switch."""

    fitted: bool = ...  # the pedal has an idle-validation switch
    opens_at: float = ...  # travel at which it opens, share; 0.005 … 0.5
    hysteresis: float = ...  # travel by which it closes below that; 0 … 0.5

class PedalParameters(_Parameters):
    """An accelerator pedal."""

    name: str = ...  # name of the part
    origin: str = ...  # what the numbers rest on
    arrangement: str = ...  # arrangement of the tracks
    travel: float = ...  # [rad] travel of the pedal arm; 0.05 … 1.5
    idle_switch: IdleSwitchParameters = ...  # idle-validation switch
    supply: typing.Literal["shared", "separate"] = ...  # supply of the tracks
    tracks: collections.abc.Sequence[TrackParameters] = ...  # position tracks; 2 … 3
    def terminals(self) -> list[tuple[str, str]]:
        """(connector, terminal) pairs in connector order."""

class ThrottleBodyParameters(_Parameters):
    """A throttle body."""

    name: str = ...  # name of the part
    origin: str = ...  # what the numbers rest on
    arrangement: str = ...  # arrangement of the tracks
    supply: typing.Literal["shared", "separate"] = ...  # supply of the tracks
    connectors: typing.Literal["one", "split"] = ...  # connectors of the assembly
    mechanics: BodyMechanics = ...  # motor, springs, friction, stops
    thermal: ThermalParameters | None = ...  # motor that warms up
    air_path: AirPathParameters = ...  # bore and leak; zero at the closed stop
    tracks: collections.abc.Sequence[TrackParameters] = ...  # position tracks; 2 … 3
    def terminals(self) -> list[tuple[str, str]]:
        """(connector, terminal) pairs in connector order."""

class AcquisitionParameters(_Parameters):
    """Input filter and converter."""

    filter_time: float = ...  # [s] time constant of the input filter; 0 … 0.1
    bits: int = ...  # resolution of the converter in bits; 6 … 16
    ratiometric: bool = ...  # converter referred to the sensors' supply
    nominal_reference: float = ...  # [V] nominal sensor supply; 1 … 12

class Joint(_Parameters):
    """A wire from a terminal to a pin."""

    terminal: str = ...  # contact of an assembly's connector
    pin: str = ...  # pin of the controller

class WireParameters(_Parameters):
    """A wire with its contacts and splices."""

    section_mm2: float = ...  # [mm^2] cross-section; 0.22 … 6
    length: float = ...  # [m] length; 0 … 100
    temperature: float = ...  # [degC] temperature of the copper; -60 … 250
    contacts: int = ...  # contacts in series; 0 … 20
    contact_resistance: float = ...  # [ohm] resistance of one contact; 0 … 1000
    splices: int = ...  # splices in series; 0 … 20
    splice_resistance: float = ...  # [ohm] resistance of one splice; 0 … 1000
    shielded: bool = ...  # wire has a shield
    coupling: float = ...  # [F/m] capacitance to a lead beside it; 0 … 1e-09
    @property
    def resistance(self) -> float:
        """[ohm], all of it."""

class ControllerSideParameters(_Parameters):
    """The controller's side of the wiring."""

    references: typing.Literal[
        "one", "per_assembly", "per_pin"
    ] = ...  # reference pins that share a regulator
    regulator_resistance: float = ...  # [ohm] inner resistance of a regulator; 0.001 … 1e+09
    source_limit: float = ...  # [A] largest current a regulator delivers; 0 … 10
    sink_limit: float = ...  # [A] largest current a regulator takes in; 0 … 10
    limit_resistance: float = ...  # [ohm] slope of a regulator in limitation; 0.001 … 1e+09
    trace_resistance: float = ...  # [ohm] from pin to regulator or ground; 0.001 … 1e+09
    pull: typing.Literal["down", "up"] = ...  # where an open signal pin is pulled
    pull_resistance: float = ...  # [ohm] pull resistor; 0.001 … 1e+09
    series_resistance: float = ...  # [ohm] from signal pin to converter; 0.001 … 1e+09
    clamp_drop: float = ...  # [V] forward drop of an input clamp; 0 … 5
    clamp_resistance: float = ...  # [ohm] on-resistance of an input clamp; 0.001 … 1e+09
    consumption_resistance: float = ...  # [ohm] load of the controller itself; 0.001 … 1e+09
    motor_pin_resistance: float = ...  # [ohm] from each motor pin to ground; 10 … 100000
    input_capacitance: float = ...  # [F] from signal pin to ground; 1e-12 … 0.001
    edge_time: float = ...  # [s] in which a leg of the bridge switches; 1e-09 … 0.001

class HarnessParameters(_Parameters):
    """Wires, sensor loads and the controller's side."""

    sensor_wire: WireParameters = ...  # each wire of a track
    motor_wire: WireParameters = ...  # each motor lead
    supply_wire: WireParameters = ...  # battery to controller
    ground_wire: WireParameters = ...  # controller to ground
    hall_supply_resistance: float = ...  # [ohm] load of one Hall track; 10 … 1e+06
    wiper_resistance: float = ...  # [ohm] wiper contact; 0.001 … 1e+06
    controller: ControllerSideParameters = ...  # the controller's side

class WiringParameters(_Parameters):
    """Everything between terminals and pins."""

    kind: typing.Literal["harness", "ideal"] = ...  # what joins the parts and the controller
    harness: HarnessParameters = ...  # wires and controller's side
    pin_out: collections.abc.Sequence[Joint] = ...  # which terminal goes to which pin; 0 … 64

class PedalMapParameters(_Parameters):
    """Pedal position to demanded opening."""

    pedal: collections.abc.Sequence[float] = ...  # knots, share of pedal travel; 0 … 1
    opening: collections.abc.Sequence[float] = ...  # demanded opening at the knots; 0 … 1

class PidParameters(_Parameters):
    """PID gains."""

    proportional: float = ...  # [V/rad] proportional gain; 0 … 1e+06
    integral: float = ...  # [V/rad/s] integral gain; 0 … 1e+08
    derivative: float = ...  # [V*s/rad] derivative gain; 0 … 100000
    derivative_filter: float = ...  # [s] filter of the derivative; 0 … 1
    dead_band: float = ...  # [rad] error the integral part ignores; 0 … 0.1
    limit: float = ...  # [V] largest output; 0 … 1e+09

class SelfTestParameters(_Parameters):
    """The test of default position and springs at key-on."""

    enabled: bool = ...  # the test is made
    tolerance: float = ...  # about the default position, share of travel; 0.001 … 0.5
    twitch_opening: float = ...  # twitch above the default position; 0 … 0.3
    twitch_time: float = ...  # [s] length of the twitch; 0.01 … 5
    return_time: float = ...  # [s] time the springs have after the twitch; 0.01 … 5

class ClosedStopParameters(_Parameters):
    """Following of the closed stop while running."""

    enabled: bool = ...  # the closed stop is followed
    rate: float = ...  # [1/s] fastest change, share of travel per second; 0 … 1
    limit: float = ...  # largest change, share of travel; 0 … 0.2
    duty: float = ...  # duty that counts as pushing; 0.01 … 1
    time: float = ...  # [s] time without movement; 0.01 … 60

class PowerParameters(_Parameters):
    """Supply and reset of the controller."""

    enabled: bool = ...  # the controller lives on what its supply pin gets
    reset_voltage: float = ...  # [V] supply below which the controller is in reset; 0 … 36
    release_voltage: float = ...  # [V] supply at which it boots again; 0 … 36
    drop_out: float = ...  # [V] lost in the regulator of the internal supply; 0 … 5
    buffer_slew: float = ...  # [V/s] by which the buffer capacitor discharges; 1 … 1e+06
    boot_time: float = ...  # [s] from enough supply to the first controller tick; 0 … 10
    after_run: float = ...  # [s] awake after the key is turned off; 0 … 3600

class ControllerParameters(_Parameters):
    """The built-in position controller."""

    pedal_map: PedalMapParameters = ...  # pedal position to demanded opening
    nominal_supply: float = ...  # [V] supply assumed when none is measured; 6 … 32
    set_point_time: float = ...  # [s] time constant of each set-point filter; 0 … 1
    self_check_time: float = ...  # [s] watch before the motor is powered; 0 … 5
    twitch_opening: float = ...  # key-on twitch above the default position; 0 … 0.2
    twitch_time: float = ...  # [s] length of the key-on twitch; 0 … 2
    duty_limit: float = ...  # largest duty; 0.05 … 1
    proportional: float | None = ...  # [V/rad] proportional gain; 0 … 1e+06
    integral: float | None = ...  # [V/rad/s] integral gain; 0 … 1e+08
    derivative: float | None = ...  # [V*s/rad] derivative gain; 0 … 100000
    integral_ratio: float = ...  # damping optimum's ratio of the integral; 0.001 … 0.5
    phase_margin: float | None = ...  # [rad] tuning: phase margin; 0.2 … 1.4
    crossover: float = ...  # [rad] tuning: crossover times the small lags; 0.05 … 1.2
    integral_time: float = ...  # [s] tuning: proportional over integral gain; 0.001 … 1000
    derivative_filter: float | None = ...  # [s] filter of the differenced derivative; 0 … 1
    observer_pole: float = ...  # [1/s] observer's pole of angle and speed, 0: none; 0 … 2000
    load_pole: float = ...  # [1/s] observer's pole of the load; 1 … 2000
    dead_band: float | None = ...  # error the integral ignores, share of travel; 0 … 0.05
    rest_band: float = ...  # error at which the integral stops, share of travel; 0 … 0.05
    rest_limit: float = ...  # error at which it starts again, share of travel; 0 … 0.05
    break_away_rate: float = ...  # [V/s] growth of the push on a blade that stands off; 0 … 10000
    set_point_speed: float | None = ...  # [1/s] fastest set point, share of travel a second; 0.1 … 1e+06
    windup: typing.Literal["tracked", "held"] = ...  # integral while the voltage is limited
    feed_forward: bool = ...  # feed-forward of springs, friction and back-EMF
    self_test: SelfTestParameters = ...  # test of default position and springs at key-on
    closed_stop: ClosedStopParameters = ...  # following of the closed stop while running

class LearnLimits(_Parameters):
    """What a range learn believes."""

    throttle_span_least: float = ...  # least span of throttle track 1 of full scale; 0.02 … 1
    pedal_span_least: float = ...  # least span of pedal track 1 of full scale; 0.02 … 1
    second_span_least: float = ...  # least span of any other track of full scale; 0.02 … 1
    closing_move_most: float = ...  # largest movement when closing, of full scale; 0.01 … 1
    band_margin: float = ...  # room between learned ends and electrical band; 0 … 0.4
    gap_most: float = ...  # largest part of the travel without a reading; 0 … 1
    turn_back_most: float = ...  # share of span a curve may run backwards; 0 … 1
    bend_most: float = ...  # share of span a curve may leave line or knee; 0 … 1
    alike_least: float = ...  # two tracks nearer than this are one, of full scale; 0 … 0.5
    default_opening_most: float = ...  # highest default position, of travel; 0 … 1
    default_opening_least: float = ...  # lowest default position off the stop; 0 … 1
    default_mismatch_most: float = ...  # tracks at the default position, of travel; 0 … 1
    default_repeat_most: float = ...  # default position from below and above, of travel; 0 … 1
    return_time_most: float = ...  # [s] longest return from the open stop; 0.01 … 60
    noise_most: float = ...  # largest rms noise of a track at rest, of full scale; 0 … 1
    press_agreement: float = ...  # largest difference of the presses, of span; 0.001 … 1
    pedal_rises: bool = ...  # the first pedal track must rise when pressed

class LearnParameters(_Parameters):
    """The range learn."""

    nominal_supply: float = ...  # [V] supply the duties are meant for; 6 … 32
    supply_least: float = ...  # [V] lowest supply for a learn; 0 … 32
    supply_most: float = ...  # [V] highest supply for a learn; 0 … 64
    closing_duty: float = ...  # largest duty toward the closed stop; 0.01 … 1
    opening_duty: float = ...  # largest duty toward the open stop; 0.01 … 1
    sweep_rate: float = ...  # [1/s] speed of the sweep, share of full scale per second; 0.01 … 2
    settle_time: float = ...  # [s] time without movement that counts as arrived; 0.01 … 5
    still_band: float = ...  # what counts as no movement, share of full scale; 0.0005 … 0.2
    step_limit: float = ...  # [s] longest time any step may take; 0.1 … 600
    presses: int = ...  # full presses asked of the foot; 1 … 2
    band_low: float = ...  # lower end of the electrical band, share of full scale; 0 … 0.5
    band_high: float = ...  # upper end of the electrical band, share of full scale; 0.5 … 1
    limits: LearnLimits = ...  # what the learn believes

class LearnedTrack:
    """Readings of one track at evenly spaced positions of its assembly's first track."""
    def linear_position(self, reading: float) -> float:
        """Position for a reading, linear between the ends."""
    @property
    def curve(self) -> numpy.typing.NDArray[numpy.float64]:
        """[share of converter full scale], shape (33,), a copy."""
    @property
    def end(self) -> float: ...
    @property
    def start(self) -> float: ...

class LearnedRange:
    """What a range learn stores of a pair."""

    __hash__: typing.ClassVar[None]  # type: ignore[assignment]
    @staticmethod
    def from_dict(values: dict) -> LearnedRange:
        """
        Refuses another version and a checksum that does not fit; without `checksum` the contents count.
        """
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def _repr_html_(self) -> typing.Any:
        """For notebooks: its ends and curves."""
    def replace(self, **kwargs) -> LearnedRange:
        """A changed copy: entries of `to_dict` as keywords."""
    def to_dict(self) -> dict:
        """Plain lists and numbers with version and checksum; `from_dict` is the inverse."""
    @property
    def body_name(self) -> str: ...
    @property
    def checksum(self) -> str:
        """CRC-32 of the record, in hexadecimal."""
    @property
    def count(self) -> int:
        """Number of the learn; 0: made by hand."""
    @property
    def default_opening(self) -> float:
        """Where the unpowered blade stood [share of travel]."""
    @property
    def learned_at(self) -> float:
        """[s] since key-on."""
    @property
    def pedal(self) -> list[LearnedTrack]: ...
    @property
    def pedal_name(self) -> str: ...
    @property
    def supply(self) -> float:
        """[V] under which it was learned; 0: not known."""
    @property
    def throttle(self) -> list[LearnedTrack]: ...
    @property
    def version(self) -> int:
        """Of the record's layout."""

class RangeStore:
    """
    A controller's non-volatile memory: two slots, so that the record in force is never written over.
    """
    @staticmethod
    def from_slots(slots: collections.abc.Sequence[bytes]) -> RangeStore:
        """From two byte strings, damaged ones too."""
    def __getstate__(self) -> tuple: ...
    def __init__(self, range: LearnedRange | None = None) -> None:
        """Empty, or holding `range`."""
    def __setstate__(self, arg0: tuple) -> None: ...
    def write(self, range: LearnedRange, *, stop_after: int | None = None) -> None:
        """Writes a record; the power may be cut after `stop_after` bytes."""
    @property
    def range(self) -> LearnedRange | None:
        """The learned range in force, or None."""
    @property
    def slots(self) -> list:
        """The two slots as bytes."""
    @property
    def state(self) -> str:
        """empty, unfinished, good, damaged or foreign: what key-on finds."""

class LearnMeasures:
    """The learn in numbers; NaN what it did not come to."""
    @property
    def default_opening(self) -> float:
        """[share of travel]."""
    @property
    def default_repeat(self) -> float:
        """[share of travel] from below and from above."""
    @property
    def opener_time(self) -> float:
        """[s] closed stop to rest."""
    @property
    def pedal_bend(self) -> float:
        """[share of span] worst track."""
    @property
    def pedal_noise(self) -> float:
        """[share of full scale] rms."""
    @property
    def press_difference(self) -> float:
        """[share of span]."""
    @property
    def return_time(self) -> float:
        """[s] open stop to rest."""
    @property
    def throttle_bend(self) -> float:
        """[share of span] worst track."""
    @property
    def throttle_noise(self) -> float:
        """[share of full scale] rms."""

class LearnResult:
    """How a range learn ended."""
    @property
    def accepted(self) -> bool: ...
    @property
    def limit(self) -> float:
        """What it was held against."""
    @property
    def measured(self) -> float:
        """What the refusal looked at; NaN where it is no number."""
    @property
    def measures(self) -> LearnMeasures: ...
    @property
    def range(self) -> LearnedRange | None:
        """The learned range, or None."""
    @property
    def reason(self) -> str:
        """Why it was refused, with the numbers; empty when accepted."""
    @property
    def refusal(self) -> str:
        """
        Name of the refusal, such as "presses differ"; "none" when accepted.
        """
    @property
    def stopped_in(self) -> str:
        """The step it ended in."""

class EngineReadings:
    """What is measured of an engine, and what its idle governor says."""
    @property
    def coolant(self) -> float:
        """[°C]."""
    @property
    def idle_authority(self) -> float:
        """Share of the governor's air above what it asks for; 0 and 1: at a limit."""
    @property
    def idle_goal(self) -> float:
        """[rad/s] that the coolant asks of the idle."""
    @property
    def running(self) -> bool:
        """It burns by itself."""
    @property
    def speed(self) -> float:
        """[rad/s]."""

class ControlInput:
    """Everything a controller may know at a tick."""
    def __getstate__(self) -> bytes: ...
    def __init__(
        self,
        *,
        time: float = 0.0,
        pedal: typing.Any = None,
        throttle: typing.Any = None,
        supply: float = 13.5,
        reference: float = 5.0,
        motor_current: float = 0.0,
        motor_permitted: bool = True,
        key_on: bool = True,
        idle_opening: float = 0.0,
    ) -> None:
        """
        One of one's own, to try a controller without a bench: `time` [s]; readings of the `pedal` and `throttle` tracks [share of full scale]; `supply` and the sensors' `reference` [V]; `motor_current` [A]; `idle_opening` [share of travel].
        """
    def __setstate__(self, arg0: bytes) -> None: ...
    @property
    def air_flow(self) -> float:
        """[kg/s] measured; 0 without an air meter."""
    @property
    def brake(self) -> float:
        """Reading of the brake's sensor [share of full scale]."""
    @property
    def brake_applied(self) -> bool: ...
    @property
    def brake_hard(self) -> bool: ...
    @property
    def bridge_derated(self) -> bool:
        """The current is limited because bridge or winding is hot."""
    @property
    def bridge_fault(self) -> str:
        """What the bridge finds wrong with the motor's leads, or none."""
    @property
    def bridge_state(self) -> str:
        """Why the bridge does not drive, or ready."""
    @property
    def demand_limit(self) -> float:
        """The demand must not exceed it [share of travel]."""
    @property
    def demand_slope(self) -> float:
        """[1/s] nor rise faster; 0: no limit."""
    @property
    def engine(self) -> EngineReadings:
        """EngineReadings."""
    @property
    def engine_still(self) -> bool: ...
    @property
    def idle_contact(self) -> str:
        """What the pedal's idle switch says: absent, foot off or foot on."""
    @property
    def idle_opening(self) -> float:
        """The demand is never less [share of travel]."""
    @property
    def key_on(self) -> bool: ...
    @property
    def lowest_track(self) -> bool:
        """Of the pedal's tracks the lowest counts."""
    @property
    def motor_current(self) -> float:
        """[A]."""
    @property
    def motor_permitted(self) -> bool:
        """False: the monitor has switched the motor off."""
    @property
    def pedal(self) -> numpy.typing.NDArray[numpy.float64]:
        """[share of full scale], shape (3,); unused tracks are 0."""
    @property
    def pedal_reference(self) -> numpy.typing.NDArray[numpy.float64]:
        """[V] at the reference pins, shape (3,)."""
    @property
    def pedal_trust(self) -> list[bool]:
        """Which tracks may be believed, three flags."""
    @property
    def supply(self) -> float:
        """[V] measured."""
    @property
    def throttle(self) -> numpy.typing.NDArray[numpy.float64]:
        """[share of full scale], shape (3,); unused tracks are 0."""
    @property
    def throttle_reference(self) -> numpy.typing.NDArray[numpy.float64]:
        """[V] at the reference pins, shape (3,)."""
    @property
    def throttle_trust(self) -> list[bool]:
        """Which tracks may be believed, three flags."""
    @property
    def time(self) -> float:
        """[s] since key-on."""

class Command:
    """What a controller answers."""
    def __getstate__(self) -> bytes: ...
    def __init__(
        self,
        *,
        mode: str = "high_impedance",
        duty: float = 0.0,
        pedal: float = 0.0,
        demand: float = 0.0,
        set_point: float = 0.0,
        opening: float = 0.0,
    ) -> None:
        """
        mode: "drive", "brake" or "high_impedance"; duty −1 … 1, opening positive; the rest are what it believes, as shares of travel.
        """
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: bytes) -> None: ...
    @property
    def demand(self) -> float: ...
    @property
    def duty(self) -> float: ...
    @property
    def mode(self) -> str: ...
    @property
    def opening(self) -> float: ...
    @property
    def pedal(self) -> float: ...
    @property
    def self_test(self) -> str: ...
    @property
    def set_point(self) -> float: ...

class CheckParameters(_Parameters):
    """How long a check must see a fault, and whether it forgets."""

    enabled: bool = ...  # check is made
    confirm_time: float = ...  # [s] time a fault must persist; 0 … 60
    heal_time: float = ...  # [s] time without fault that heals; 0 … 600
    latch: bool = ...  # confirmed until the key is turned off
    counting: typing.Literal["timer", "counter"] = ...  # how bad ticks are counted

class VoltsBandParameters(_Parameters):
    """The electrical band in volts."""

    enabled: bool = ...  # the band in volts is watched too
    low: float = ...  # [V] lower end; 0 … 12
    high: float = ...  # [V] upper end; 0 … 12

class VoltsLine(_Parameters):
    """The second track's volts as a line over the first's."""

    enabled: bool = ...  # the second track is held against the first
    offset: float = ...  # [V] of the line; -12 … 12
    slope: float = ...  # of the line; -10 … 10

class VoltsParameters(_Parameters):
    """Correlation in volts."""

    pedal: VoltsLine = ...  # of the pedal
    throttle: VoltsLine = ...  # of the throttle
    limit: float = ...  # [V] largest distance from the line; 0 … 12
    check: CheckParameters = ...  # debouncing

class RateParameters(_Parameters):
    """A reading that changes faster than possible."""

    limit: float = ...  # [1/s] fastest change, share of travel per second; 1 … 100000
    hold_time: float = ...  # [s] time that a jump counts as a bad reading; 0 … 10
    check: CheckParameters = ...  # debouncing

class StuckParameters(_Parameters):
    """A track that stands while its partner moves."""

    still: float = ...  # share of travel that counts as no movement; 0.0001 … 0.5
    moved: float = ...  # share of travel the partner must have gone; 0.001 … 1
    check: CheckParameters = ...  # debouncing

class DriftParameters(_Parameters):
    """A track beyond its learned ends."""

    limit: float = ...  # share of travel beyond a learned end; 0 … 1
    check: CheckParameters = ...  # debouncing

class MotionParameters(_Parameters):
    """Drive against current and movement."""

    open_voltage: float = ...  # [V] voltage at which current must flow; 0.1 … 36
    open_current: float = ...  # [A] less than that is no current; 0 … 10
    most_current: float = ...  # [A] largest lasting current; 0.1 … 200
    stalled_duty: float = ...  # duty that must move the blade; 0.01 … 1
    still: float = ...  # share of travel that counts as no movement; 0.0001 … 0.5
    blocked_voltage: float = ...  # [V] voltage that must move the blade; 0.1 … 36
    blocked_current: float = ...  # [A] current that must move the blade; 0 … 200
    held_voltage: float = ...  # [V] voltage that must close the blade; 0.1 … 36
    held_error: float = ...  # share of travel above the set point that is too much then; 0.001 … 1
    against_duty: float = ...  # duty that the blade must not run against; 0.01 … 1
    against_speed: float = ...  # [1/s] speed against the drive, share of travel; 0.01 … 100
    open: CheckParameters = ...  # volts and no current
    overload: CheckParameters = ...  # too much current
    stalled: CheckParameters = ...  # drive and no movement
    blocked: CheckParameters = ...  # volts and current and no movement
    against: CheckParameters = ...  # movement against the drive

class SpringCheckParameters(_Parameters):
    """A blade without power that is not at its default."""

    tolerance: float = ...  # about the learned default position; 0.001 … 0.5
    check: CheckParameters = ...  # debouncing

class DefaultCheckParameters(_Parameters):
    """A blade that is not at its default at key-on."""

    tolerance: float = ...  # about the learned default position; 0.001 … 0.5
    check: CheckParameters = ...  # debouncing

class WindowParameters(_Parameters):
    """A voltage that must stay in a window."""

    low: float = ...  # [V] lower end; 0 … 60
    high: float = ...  # [V] upper end; 0 … 60
    check: CheckParameters = ...  # debouncing

class ElectronicsParameters(_Parameters):
    """Resets of the controller, and its motor bridge."""

    least_supply: float = ...  # [V] supply from which references are checked; 0 … 36
    most_resets: int = ...  # resets within the window that count as one fault; 1 … 8
    window: float = ...  # [s] time in which resets are counted; 0.1 … 3600
    reset: CheckParameters = ...  # reset while the key was on
    resets: CheckParameters = ...  # resets again and again
    shorted: CheckParameters = ...  # motor lead shorted
    off_open: CheckParameters = ...  # no motor at the open bridge
    hot: CheckParameters = ...  # current taken back because of heat

class BrakeCheckParameters(_Parameters):
    """Brake and throttle at once; the brake's sensor."""

    opening: float = ...  # permitted while braking, share of travel; 0 … 1
    band_low: float = ...  # lower end of the brake sensor's band; 0 … 0.5
    band_high: float = ...  # upper end of the brake sensor's band; 0.5 … 1
    check: CheckParameters = ...  # brake against throttle
    sensor: CheckParameters = ...  # brake sensor outside its band

class FunctionMonitorParameters(_Parameters):
    """The second, independent function monitor."""

    enabled: bool = ...  # there is a function monitor
    time: float = ...  # [s] time a condition must last; 0 … 10
    lag: float = ...  # [s] time the blade may follow the foot down; 0 … 1
    margin: float = ...  # opening beyond what is allowed, share of travel; 0 … 1
    idle: float = ...  # opening that is always allowed, share of travel; 0 … 1
    apart: float = ...  # largest distance of two tracks, share of travel; 0 … 1
    band_low: float = ...  # lower end of the electrical band; 0 … 0.5
    band_high: float = ...  # upper end of the electrical band; 0.5 … 1
    lowest_pedal: bool = ...  # of pedal tracks apart the smaller counts
    most_current: float = ...  # [A] largest lasting current; 0.1 … 200
    no_current: float = ...  # [A] less than that is no current; 0 … 10

class ShutdownDeviceParameters(_Parameters):
    """The independent, non-programmable device of the competition rules."""

    enabled: bool = ...  # there is such a device
    throttle_share: float = ...  # opening its comparator is trimmed to, share of travel; 0 … 1
    brake_time: float = ...  # [s] hard braking against throttle; 0 … 60
    signal_time: float = ...  # [s] a signal outside its band; 0 … 60
    brake_low: float = ...  # [V] band of the brake's signal; 0 … 12
    brake_high: float = ...  # [V] band of the brake's signal; 0 … 12
    throttle_low: float = ...  # [V] band of the throttle's signal; 0 … 12
    throttle_high: float = ...  # [V] band of the throttle's signal; 0 … 12
    least_supply: float = ...  # [V] supply below which it drops out; 0 … 36

class IdleSwitchCheckParameters(_Parameters):
    """Idle switch against pedal tracks."""

    pressed: float = ...  # pedal beyond which the foot cannot be off, share; 0 … 1
    released: float = ...  # pedal below which the foot cannot be on, share; 0 … 1
    check: CheckParameters = ...  # debouncing

class AirFlowParameters(_Parameters):
    """Air flow against opening."""

    opening: collections.abc.Sequence[float] = ...  # knots, share of travel; 0 … 1
    flow: collections.abc.Sequence[float] = ...  # [kg/s] choked flow at the knots; 0 … 10
    margin: float = ...  # share of the flow above it; 0 … 10
    floor: float = ...  # [kg/s] leaks and idle air; 0 … 1
    check: CheckParameters = ...  # debouncing

class IdleSpeedParameters(_Parameters):
    """Idle speed against its goal."""

    above: float = ...  # [rad/s] idle speed permitted above its goal; 0.1 … 1000
    below: float = ...  # [rad/s] idle speed permitted below its goal; 0.1 … 1000
    off_target: float = ...  # [rad/s] distance from the goal that must not last; 0.1 … 1000
    coolant: float = ...  # [degC] coolant temperature from which it is looked at; -60 … 200
    pedal_released: float = ...  # pedal travel of a foot off; 0 … 0.5
    start_delay: float = ...  # [s] time the engine must have run; 0 … 600
    release_delay: float = ...  # [s] time the foot must have been off; 0 … 600
    low: CheckParameters = ...  # speed lower than expected
    high: CheckParameters = ...  # speed higher than expected
    system: CheckParameters = ...  # off its goal or without room, up and down

class Action(_Parameters):
    """What a rung of the ladder of reactions orders."""

    demand_limit: float = ...  # largest demand, share of travel; 0 … 1
    slope_limit: float = ...  # [1/s] fastest rise of the demand; 0: no limit; 0 … 1000
    lowest_track: bool = ...  # of a pedal's tracks the lowest counts
    motor_permitted: bool = ...  # the motor may have power
    speed_limit: float = ...  # [rad/s] engine speed held by cutting fuel; 0: no limit; 0 … 2000
    fuel_permitted: bool = ...  # the engine may have fuel

class Ladder(_Parameters):
    """The rungs of the ladder above "none", mildest first."""

    limited: Action = ...  # on the tracks that are left
    idle: Action = ...  # the foot is not listened to
    motor_off: Action = ...  # the blade on its springs
    engine_off: Action = ...  # neither motor nor fuel

class ReactionRow(_Parameters):
    """One line of the table of reactions: what follows from a check."""

    check: typing.Literal[
        "memory",
        "not learned",
        "self test",
        "range",
        "volts",
        "rate",
        "stuck",
        "drift",
        "correlation",
        "outvoted",
        "blind",
        "deviation",
        "not closing",
        "motion",
        "return spring",
        "default position",
        "supply",
        "reference",
        "brake",
        "brake sensor",
        "air flow",
        "idle speed",
        "idle switch",
        "resets",
        "heat",
    ] = ...  # entered when this is confirmed
    side: typing.Literal["any", "pedal", "throttle"] = ...  # of which assembly
    left: int = ...  # only while no more tracks than this are sound; 0 … 3
    reaction: typing.Literal["none", "limited", "idle", "motor off", "engine off"] = ...  # what follows
    exit: typing.Literal[
        "healed", "foot off", "at default", "key cycle"
    ] = ...  # when it ends, once the check is healed
    exit_time: float = ...  # [s] time of the exit; 0 … 600
    priority: int = ...  # the highest decides; of equal ones the severest; -100 … 100

class MonitorParameters(_Parameters):
    """Thresholds of the plausibility monitor."""

    band_low: float = ...  # lower end of the electrical band; 0 … 0.5
    band_high: float = ...  # upper end of the electrical band; 0.5 … 1
    correlation_limit: float = ...  # largest disagreement of two tracks, share of travel; 0 … 1
    deviation_limit: float = ...  # largest distance of blade and set point, share of travel; 0 … 1
    range: CheckParameters = ...  # range check
    correlation: CheckParameters = ...  # correlation check
    blind: CheckParameters = ...  # no track of an assembly that can be believed, added up
    deviation: CheckParameters = ...  # deviation check
    not_closing: CheckParameters = ...  # a blade that does not come back without power
    volts_band: VoltsBandParameters = ...  # range check in volts
    volts: VoltsParameters = ...  # correlation check in volts
    rate: RateParameters = ...  # change faster than possible
    stuck: StuckParameters = ...  # a track stands while its partner moves
    drift: DriftParameters = ...  # a track beyond its learned ends
    motion: MotionParameters = ...  # drive against current and movement
    return_spring: SpringCheckParameters = ...  # blade without power not at its default
    default_position: DefaultCheckParameters = ...  # the same at key-on
    supply: WindowParameters = ...  # supply of the controller
    reference: WindowParameters = ...  # supply of the sensors
    electronics: ElectronicsParameters = ...  # controller's resets and motor bridge
    brake: BrakeCheckParameters = ...  # brake against throttle, and its sensor
    idle_switch: IdleSwitchCheckParameters = ...  # idle switch against pedal tracks
    air_flow: AirFlowParameters = ...  # air flow against opening
    idle_speed: IdleSpeedParameters = ...  # idle speed against its goal
    fallback: bool = ...  # a track that looks bad is left out at once
    fallback_time: float = ...  # [s] time a track must look good to be believed again; 0 … 10
    function_monitor: FunctionMonitorParameters = ...  # the second, independent function monitor
    device: ShutdownDeviceParameters = ...  # the independent device of the competition rules
    motor_off_by: typing.Literal["high_impedance", "braking"] = ...  # how the motor is switched off
    ladder: Ladder = ...  # what each reaction orders
    reactions: collections.abc.Sequence[ReactionRow] = ...  # what follows from which check; 0 … 99

class TroubleCode:
    """A trouble code (SAE J2012) with its failure-type byte."""
    def __repr__(self) -> str: ...
    def _repr_html_(self) -> typing.Any:
        """For notebooks."""
    @property
    def code(self) -> str: ...
    @property
    def confirmed(self) -> float:
        """[s] since key-on."""
    @property
    def failure_type(self) -> str: ...
    @property
    def meaning(self) -> str: ...
    @property
    def text(self) -> str: ...

class FreezeFrame:
    """All signals of the tick that first confirmed a code."""
    @property
    def command(self) -> Command:
        """Of the tick before."""
    @property
    def input(self) -> ControlInput: ...
    @property
    def reaction(self) -> str:
        """Before that tick."""

class FaultEntry:
    """A code and what became of it."""
    @property
    def code(self) -> TroubleCode: ...
    @property
    def count(self) -> int:
        """How often it was confirmed."""
    @property
    def frame(self) -> FreezeFrame | None:
        """The FreezeFrame, or None."""
    @property
    def good_cycles(self) -> int:
        """Key cycles since without it."""
    @property
    def healed(self) -> float:
        """[s] since that key-on."""
    @property
    def last(self) -> float:
        """[s] since that key-on."""
    @property
    def state(self) -> str:
        """absent, pending, confirmed or healed."""

class FaultMemory:
    """Codes over several key cycles: pass it from one run to the next."""
    def __init__(self) -> None: ...
    def clear(self) -> None:
        """By command; what is confirmed and in force stays."""
    def entries(self) -> list[FaultEntry]:
        """Every code that is not absent."""
    def key_off(self) -> None:
        """The key has been turned off."""
    def modes(self) -> list[FaultEntry]:
        """What the reactions forced (P2104 … P2106, P2110), as entries: every one that is not absent."""

class Fault:
    """What is wrong, where, from when to when, how much; see `fault_catalogue()`."""
    def __getstate__(self) -> tuple: ...
    def __init__(
        self,
        *,
        where: str,
        what: str,
        amount: float = 0.0,
        start: float = 0.0,
        end: float | None = None,
        ramp: float = 0.0,
        other: str = "",
        every: float = 0.0,
        lasting: float = 0.0,
    ) -> None:
        """
        Times in seconds since key-on; `amount` in the unit of the catalogue. A fault of the wiring has a terminal for `where`, perhaps an `other` one, and may come and go: `lasting` of each period `every`, from a pseudo-random instant of it.
        """
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: tuple) -> None: ...
    @property
    def amount(self) -> float: ...
    @property
    def end(self) -> float | None: ...
    @property
    def every(self) -> float: ...
    @property
    def lasting(self) -> float: ...
    @property
    def other(self) -> str:
        """The other terminal, of a wiring fault between two."""
    @property
    def ramp(self) -> float: ...
    @property
    def start(self) -> float: ...
    @property
    def text(self) -> str:
        """In words, without its times."""
    @property
    def what(self) -> str: ...
    @property
    def where(self) -> str: ...

class FaultKind:
    """An entry of the fault catalogue."""
    def __repr__(self) -> str: ...
    @property
    def least(self) -> float: ...
    @property
    def meaning(self) -> str: ...
    @property
    def most(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def where(self) -> str: ...

class BenchParameters(_Parameters):
    """A pedal, a throttle body and the controller both are wired to."""

    pedal: PedalParameters = ...  # accelerator pedal
    body: ThrottleBodyParameters = ...  # throttle body
    brake: BrakeSensorParameters = ...  # sensor of the brake
    acquisition: AcquisitionParameters = ...  # filter and converter
    bridge: BridgeParameters = ...  # motor bridge and supply
    guard: BridgeGuardParameters = ...  # protection of the bridge
    power: PowerParameters = ...  # supply and reset of the controller
    wiring: WiringParameters = ...  # everything between terminals and pins
    controller: ControllerParameters = ...  # position controller
    learn: LearnParameters = ...  # range learn
    monitor: MonitorParameters = ...  # plausibility monitor
    engine: EngineSetup | None = ...  # engine behind the throttle
    supply: float = ...  # [V] battery voltage; 0 … 36
    reference: float = ...  # [V] sensor supply voltage; 0 … 12
    control_period: float = ...  # [s] period of the controller; 0.0001 … 0.1
    record_period: float = ...  # [s] period of the record; 0.0001 … 10
    tolerance: float = ...  # relative tolerance of the integration; 1e-12 … 0.01
    seed: int = ...  # seed of the noise; 0 … 2.14748e+09
    case_number: int = ...  # case number, part of the noise key; 0 … 2.14748e+09

class Stroke:
    """A pedal movement over time: piecewise linear, held at its ends."""
    @staticmethod
    def rest(duration: float) -> Stroke:
        """Never touched."""
    @staticmethod
    def rest_half_full_rest() -> Stroke:
        """Rest, half, full, rest; ramps of one second."""
    @staticmethod
    def two_presses() -> Stroke:
        """What the range learn asks of the foot."""
    def __getstate__(self) -> tuple: ...
    def __init__(
        self, *, time: collections.abc.Sequence[float], travel: collections.abc.Sequence[float]
    ) -> None:
        """`time` [s] increasing, `travel` [share of pedal travel, 0 … 1]; lists of equal length."""
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: tuple) -> None: ...
    @property
    def duration(self) -> float:
        """[s]."""
    @property
    def time(self) -> list[float]: ...
    @property
    def travel(self) -> list[float]: ...

class Snapshot:
    """Values of one tick."""
    @property
    def action(self) -> Action:
        """What the reaction orders."""
    @property
    def asked(self) -> float:
        """Opening the pedal map asks of the true travel."""
    @property
    def awake(self) -> bool:
        """The controller is not in reset."""
    @property
    def blade_angle(self) -> float:
        """[rad]."""
    @property
    def blade_opening(self) -> float:
        """True, share of travel."""
    @property
    def blade_speed(self) -> float:
        """[rad/s]."""
    @property
    def brake_volts(self) -> float:
        """[V]."""
    @property
    def braking(self) -> float:
        """True, share of full braking."""
    @property
    def command(self) -> Command: ...
    @property
    def device(self) -> str:
        """Why the independent device has tripped, or none."""
    @property
    def function_monitor(self) -> str:
        """Why the function monitor has taken the power away, or none."""
    @property
    def input(self) -> ControlInput: ...
    @property
    def motor_current(self) -> float:
        """[A]."""
    @property
    def motor_voltage(self) -> float:
        """[V]."""
    @property
    def pedal_travel(self) -> float:
        """True, share of travel."""
    @property
    def reaction(self) -> str: ...
    @property
    def supply(self) -> float:
        """[V]."""
    @property
    def time(self) -> float:
        """[s]."""

class Run:
    """What a run gave."""
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def history(self) -> FaultMemory:
        """Each code with state, count and freeze-frame."""
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record: ...

class SharedController:
    """
    A shared object with a controller written in C (twintrack/c/controller.h); goes wherever a controller, or the factory of one, does. Loading it runs its code.
    """
    def __init__(self, path: str) -> None:
        """Raises InvalidParameter when it does not load, lacks a function or is of another version."""

class Session:
    """One key-on of a bench, stepped tick by tick."""
    def __getstate__(self) -> tuple: ...
    def __init__(
        self,
        parameters: BenchParameters,
        stroke: Stroke,
        *,
        learned: LearnedRange | RangeStore | None = None,
        faults: collections.abc.Sequence[Fault] = [],
        controller: typing.Any = None,
        monitor: typing.Any = None,
        brake: Stroke | None = None,
        history: FaultMemory | None = None,
    ) -> None: ...
    def __setstate__(self, arg0: tuple) -> None: ...
    def fork(self) -> Session:
        """
        A session that goes on from here by itself with the same bits; units written in Python are copied by copy.deepcopy.
        """
    def inject(self, fault: Fault) -> None:
        """
        The fault is there from the tick that is due on, or from its own start when that is later. Raises InvalidParameter for one that cannot be, or cannot be beside those there are; then nothing has changed.
        """
    def release_pedal(self) -> None:
        """The foot follows the stroke again."""
    def remove(self, where: str, what: str) -> None:
        """
        A fault of that place and kind is over from the tick that is due on; InvalidParameter when there is none.
        """
    def restore(self, saved: Session) -> None:
        """Goes back to what save() gave."""
    def save(self) -> Session:
        """The session as it is now, to be given to restore(), as often as one likes."""
    def step(self, *, pedal: typing.Any = None, brake: typing.Any = None) -> Snapshot:
        """
        Makes the tick that is due and integrates to the next; returns its Snapshot. `pedal` [share of travel] holds the foot there from now on, in place of the stroke; `brake` (0 … 1) likewise. Releases the interpreter lock.
        """
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def faults(self) -> list[Fault]: ...
    @property
    def history(self) -> FaultMemory:
        """Each code with state, count and freeze-frame."""
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record:
        """A copy of what was recorded so far."""
    @property
    def snapshot(self) -> Snapshot:
        """A copy of the last tick's values."""
    @property
    def time(self) -> float:
        """[s] of the tick that is due."""

class Plant:
    """
    Pedal, wiring, converter, bridge and body of a bench, with nobody to control them: no controller, no monitor, no learned range. A bridge that protects itself still does.
    """
    def __init__(
        self, parameters: BenchParameters, *, faults: collections.abc.Sequence[Fault] = []
    ) -> None: ...
    def fork(self) -> Plant:
        """A plant that goes on from here by itself."""
    def inject(self, fault: Fault) -> None:
        """
        The fault is there from the tick that is due on, or from its own start when that is later. Raises InvalidParameter for one that cannot be, or cannot be beside those there are; then nothing has changed.
        """
    def remove(self, where: str, what: str) -> None:
        """
        A fault of that place and kind is over from the tick that is due on; InvalidParameter when there is none.
        """
    def step(
        self,
        duty: typing.Any = None,
        *,
        volts: typing.Any = None,
        mode: str = "drive",
        pedal: typing.Any = None,
    ) -> Snapshot:
        """
        One control period under a duty (−1 … 1), or under bridge `volts` [V] as a duty of the supply measured at the last tick, or in another mode ("brake", "high_impedance"). Returns the Snapshot of the tick at its beginning: `input` is what a controller would have read, `motor_current` [A], `supply` [V].
        """
    @property
    def faults(self) -> list[Fault]: ...
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record:
        """A copy of what was recorded so far."""
    @property
    def snapshot(self) -> Snapshot:
        """A copy of the last tick's values."""
    @property
    def time(self) -> float:
        """[s] of the tick that is due."""

class MadeController:
    """A controller for one case, as make_controller() gives it; goes wherever a controller does."""
    def __deepcopy__(self, memo: typing.Any) -> MadeController: ...
    def step(self, input: ControlInput) -> Command:
        """
        Its Command at this tick. Raises RuntimeError with one sentence for a command that cannot be used, and for what the controller itself raises.
        """

class MadeMonitor:
    """A monitor for one case, as make_monitor() gives it."""
    def __deepcopy__(self, memo: typing.Any) -> MadeMonitor: ...
    def step(self, input: ControlInput, last: Command) -> typing.Any:
        """Its MonitorAnswer, by the samples of this tick and the command of the tick before."""

class MadeLearn:
    """A range learn, as make_learn() gives it."""
    def __deepcopy__(self, memo: typing.Any) -> MadeLearn: ...
    def step(self, input: ControlInput) -> typing.Any:
        """Its LearnAnswer at this tick."""

class LearnDisturbanceKind:
    """An entry of the list of what can go wrong during a learn."""
    def __repr__(self) -> str: ...
    @property
    def can_stay(self) -> bool:
        """May still be there when one drives off."""
    @property
    def least(self) -> float: ...
    @property
    def meaning(self) -> str: ...
    @property
    def most(self) -> float:
        """Equal to `least`: takes no amount."""
    @property
    def name(self) -> str: ...
    @property
    def places(self) -> list[str]:
        """Empty: needs no place."""
    @property
    def severities(self) -> list[float]:
        """Amounts worth trying, mild first; empty: takes none."""
    @property
    def unit(self) -> str: ...
    @property
    def usual(self) -> float:
        """The amount when none is given."""

class LearnDisturbance:
    """a disturbance of a range learn; see `disturbance_catalogue()`."""
    def __init__(self, name: str, amount: float | None = None, where: str = "") -> None:
        """`amount` in the unit of the catalogue, the usual one unless given."""
    def __repr__(self) -> str: ...
    @property
    def amount(self) -> float | None: ...
    @property
    def name(self) -> str: ...
    @property
    def where(self) -> str: ...

class LearnRun:
    """What a range learn gave."""
    @property
    def accepted(self) -> bool: ...
    @property
    def measures(self) -> LearnMeasures: ...
    @property
    def outcome(self) -> Outcome: ...
    @property
    def range(self) -> LearnedRange | None: ...
    @property
    def reason(self) -> str: ...
    @property
    def record(self) -> Record: ...
    @property
    def refusal(self) -> str: ...
    @property
    def result(self) -> LearnResult: ...
    @property
    def state(self) -> list[str]:
        """Name of the learn's step at each recorded time."""
    @property
    def stopped_in(self) -> str: ...
    @property
    def store(self) -> RangeStore:
        """The memory afterwards: the new record, or the old one as it was."""

class Case:
    """One pair driven through one stroke."""
    def __init__(
        self,
        *,
        parameters: BenchParameters,
        learn: str = "fresh",
        learn_pedal: PedalParameters | None = None,
        learn_body: ThrottleBodyParameters | None = None,
        stroke: Stroke | None = None,
        faults: collections.abc.Sequence[Fault] = [],
        learn_faults: collections.abc.Sequence[Fault] = [],
        disturbances: collections.abc.Sequence[LearnDisturbance] = [],
        disturbances_stay: bool = False,
        brake: Stroke | None = None,
        hazard: tuple[float, float] | None = None,
    ) -> None:
        """
        learn: "none" (never learned), "fresh" (this pair), "stale" (with `learn_pedal` and/or `learn_body`, then exchanged). faults: of the run; learn_faults: of the learn. disturbances: a disturbance of the learn; with `disturbances_stay` those that can are still there in the run. hazard: uncommanded opening [share of travel] and time [s] beyond which it is uncommanded; by default those of `limits()`.
        """
    @property
    def faults_of_run(self) -> list[Fault]:
        """The faults, and the disturbances that stay."""
    @property
    def learn(self) -> str: ...
    @property
    def parameters(self) -> BenchParameters: ...
    @property
    def stroke(self) -> Stroke: ...

class IdleReport:
    """How an engine idled; NaN where the run had no such time."""
    @property
    def air_flow(self) -> float:
        """[kg/s]."""
    @property
    def authority(self) -> float:
        """Share of the governor's air that is left."""
    @property
    def deviation(self) -> float:
        """[rad/s] speed minus set point."""
    @property
    def driven_off(self) -> bool:
        """The motor was driven after key-off."""
    @property
    def finding(self) -> str:
        """right, noticed, wrong or dangerous."""
    @property
    def highest(self) -> float:
        """[rad/s] most above the set point with the foot off."""
    @property
    def hunting(self) -> float:
        """[rad/s] half of peak to peak."""
    @property
    def hunting_period(self) -> float:
        """[s]."""
    @property
    def load_dip(self) -> float:
        """[rad/s] deepest below the set point under load."""
    @property
    def off_opening(self) -> float:
        """Of the blade at the end, the key off."""
    @property
    def opening(self) -> float:
        """Of the blade [share of travel]."""
    @property
    def pressure(self) -> float:
        """[Pa] in the manifold."""
    @property
    def return_time(self) -> float:
        """[s] from the foot's last release into the band."""
    @property
    def runaway(self) -> float:
        """[s] longest time far above the set point."""
    @property
    def sentence(self) -> str: ...
    @property
    def set_point(self) -> float:
        """[rad/s]."""
    @property
    def settling_time(self) -> float:
        """[s] from the starter's first turn."""
    @property
    def speed(self) -> float:
        """[rad/s] mean before load, foot or key change something."""
    @property
    def stalls(self) -> int: ...
    @property
    def started(self) -> bool: ...
    @property
    def stop_time(self) -> float:
        """[s] from key-off until the engine stands; inf: never."""

class CaseResult:
    """What became of a case."""
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def detected_after(self) -> float:
        """[s] from the first fault of the run to the first code set then or later; NaN: none."""
    @property
    def error_full(self) -> float:
        """[share of travel]; NaN without such a hold."""
    @property
    def error_half(self) -> float:
        """[share of travel]; NaN without such a hold."""
    @property
    def error_rest(self) -> float:
        """[share of travel]; NaN without such a hold."""
    @property
    def final_opening(self) -> float:
        """[share of travel]."""
    @property
    def first_code_time(self) -> float | None:
        """[s] since key-on, or None."""
    @property
    def history(self) -> FaultMemory:
        """Each code with state, count and freeze-frame."""
    @property
    def idle(self) -> IdleReport | None:
        """How the engine idled; None without one."""
    @property
    def learn_accepted(self) -> bool | None:
        """None when no learn was run."""
    @property
    def learn_reason(self) -> str: ...
    @property
    def movement(self) -> float:
        """Swing of the blade [share of travel]."""
    @property
    def outcome(self) -> Outcome: ...
    @property
    def reaction(self) -> str:
        """The furthest rung of the ladder from the first fault on, or in all the run without one."""
    @property
    def record(self) -> Record:
        """The record when a trace was asked for, else None."""
    @property
    def response(self) -> str:
        """none, right, wrong or uncommanded."""
    @property
    def sentence(self) -> str:
        """The verdict in words."""
    @property
    def settling_time(self) -> float:
        """[s] longest over the holds; NaN if one never settles."""
    @property
    def unasked_opening(self) -> float:
        """Largest opening beyond what the foot asks [share of travel]."""
    @property
    def unasked_time(self) -> float:
        """[s] longest time beyond the limit."""

class Learned:
    """A range learn of a case, and where it was made."""
    @property
    def refused(self) -> str:
        """Why it cannot be run, in one sentence; else empty."""
    @property
    def result(self) -> LearnResult | None:
        """LearnResult; None when the case cannot be run at all."""
    @property
    def solver(self) -> str: ...

class Formula:
    """A sentence about recorded signals over time; written as text by `formula`."""
    @staticmethod
    def compare(
        left: tuple[collections.abc.Sequence[tuple[str, float]], float],
        relation: str,
        right: tuple[collections.abc.Sequence[tuple[str, float]], float],
        *,
        absolute: bool = False,
    ) -> Formula:
        """
        Two sums, each ([(signal, weight), …], constant); `absolute` takes the magnitude of the left one.
        """
    @staticmethod
    def join(
        what: str, parts: collections.abc.Sequence[Formula], *, start: float = 0.0, end: float | None = None
    ) -> Formula:
        """
        An operator over its parts; window [s] of the temporal ones, end None: to the end of the record.
        """
    @staticmethod
    def truth(value: bool) -> Formula: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __hash__(self) -> int: ...
    @property
    def absolute(self) -> bool: ...
    @property
    def end(self) -> float | None:
        """[s]; None: to the end of the record."""
    @property
    def left(self) -> tuple[list[tuple[str, float]], float]: ...
    @property
    def parts(self) -> list[Formula]: ...
    @property
    def relation(self) -> str: ...
    @property
    def right(self) -> tuple[list[tuple[str, float]], float]: ...
    @property
    def signals(self) -> list[str]: ...
    @property
    def start(self) -> float:
        """[s]."""
    @property
    def value(self) -> bool: ...
    @property
    def what(self) -> str: ...

class Rule:
    """A written requirement: wherever `applies` holds, `requires` must hold."""
    def __init__(
        self,
        *,
        name: str,
        requires: Formula,
        applies: Formula | None = None,
        set: str = "",
        source: str = "",
        clause: str = "",
        sentence: str = "",
        basis: str = "",
        unit: str = "",
        scale: float = 1.0,
        unseen: str = "",
    ) -> None: ...
    def __repr__(self) -> str: ...
    @property
    def applies(self) -> Formula: ...
    @property
    def basis(self) -> str:
        """How well its numbers are known."""
    @property
    def clause(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def requires(self) -> Formula: ...
    @property
    def scale(self) -> float:
        """What a margin is compared with."""
    @property
    def sentence(self) -> str:
        """What it asks, in words."""
    @property
    def set(self) -> str: ...
    @property
    def source(self) -> str: ...
    @property
    def unit(self) -> str:
        """Of the margin; empty: a share."""
    @property
    def unseen(self) -> str:
        """Why no record can show it, else empty."""

class Verdict:
    """What a record did against a rule."""
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __hash__(self) -> int: ...
    def __repr__(self) -> str: ...
    @property
    def finding(self) -> str:
        """passed, failed or not applicable."""
    @property
    def margin(self) -> float | None:
        """Least margin, in the rule's unit; negative: failed; infinite where no number decides."""
    @property
    def reason(self) -> str:
        """Why the rule is not applicable."""
    @property
    def rule(self) -> str:
        """Name of the rule."""
    @property
    def when(self) -> float | None:
        """[s] where the requirement first does not hold, or None."""
    @property
    def worst(self) -> float | None:
        """[s] where the margin is least, or None."""

class Ran:
    """What became of one case of a batch."""
    @property
    def refused(self) -> str:
        """Why the case cannot be run, in one sentence; else empty."""
    @property
    def result(self) -> CaseResult | None:
        """CaseResult; None when the case was refused."""
    @property
    def solver(self) -> str: ...
    @property
    def verdicts(self) -> list[Verdict]:
        """One a rule."""

def answer(formula: Formula, record: Record) -> tuple:
    """Truth and margin of a formula at each row, shapes (n,)."""

def built_in_engines() -> list[EngineSetup]:
    """The built-in engines, invented for demonstration."""

def built_in_rules() -> list[Rule]:
    """Every built-in rule."""

def check_disturbances(
    disturbances: collections.abc.Sequence[LearnDisturbance], *, stay: bool = False
) -> None:
    """
    Raises InvalidParameter for disturbances that cannot happen together, or with `stay` not stay together.
    """

def check_faults(
    faults: collections.abc.Sequence[Fault],
    parameters: BenchParameters | None = None,
    *,
    brake: bool = False,
    duration: float | None = None,
) -> None:
    """
    Raises InvalidParameter for faults that overlap and, with `parameters`, for one that can have no effect on that bench in a run of `duration` [s], with a `brake` or without.
    """

def competition_reactions() -> list[ReactionRow]:
    """The default table: the student-competition rules 2024."""

def controller_pins(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[str]:
    """Pins of a controller that serves this pair."""

def correct_pin_out(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[Joint]:
    """Every terminal of the pair to the pin of its own function."""

def default_angle(mechanics: BodyMechanics) -> float:
    """Where the springs leave the unpowered blade [rad]."""

def disturbance_catalogue() -> list[LearnDisturbanceKind]:
    """Everything that can be let go wrong during a learn."""

def every_single_wiring_fault(
    pedal: PedalParameters, body: ThrottleBodyParameters, *, start: float = 0.0
) -> list[Fault]:
    """
    Every single fault the wiring of a pair can have, generated from its terminals; present from `start` [s].
    """

def external_variables(json: str) -> list:
    """
    The variables of an exported bench, plant or controller, in the order of their numbers: dicts with name, kind, role, unit, meaning, least, most, choices and start. `json` as fmu.document() makes it.
    """

def fault_catalogue() -> list[FaultKind]:
    """Every fault there is, but for those of the wiring."""

def graded_reactions() -> list[ReactionRow]:
    """The ladder of the published three-level concept (from memory)."""

def hold_voltage(mechanics: BodyMechanics, angle: float, *, opening: bool) -> float:
    """Motor voltage [V] at which the blade, sliding slowly open or closed, passes `angle` [rad]."""

def idle_report(
    record: Record, stroke: Stroke, course: EngineCourse, *, reported: bool = False, uncommanded: bool = False
) -> IdleReport:
    """
    How the engine idled in a record. `reported`: a trouble code or a refused learn; `uncommanded`: the verdict on the blade.
    """

def instruction_sets() -> list[str]:
    """Those the lanes can run on here, narrowest first; the last one is used."""

def judge(record: Record, stroke: Stroke) -> str:
    """none, right, wrong or uncommanded."""

def judge_rules(
    rules: collections.abc.Sequence[Rule],
    record: Record,
    *,
    parameters: BenchParameters | None = None,
    learned: LearnedRange | None = None,
) -> list[Verdict]:
    """
    One Verdict a rule; with the bench's parameters and learned range the rules on tracks and idle apply.
    """

def lane_figures(
    cases: collections.abc.Sequence[Case],
    learned: collections.abc.Sequence[LearnResult | None],
    *,
    replicas: int = 1,
    substep: float = 0.0002,
    threads: int = 0,
    instruction_set: str = "",
) -> dict:
    """
    As `run_lanes`, without records and verdicts: a dict of arrays, one entry per case and replica (replica r of case k at r · len(cases) + k, its case number counted on by r, so with noise of its own). mean_error and largest_error: |set point − true opening| while the motor is driven; largest_opening, final_opening: true [share of travel]; reacted_at [s], NaN without a reaction; codes: how many, NaN for a numerical failure.
    """

def lanes_refusal(case: Case) -> str:
    """Why a case cannot run in lanes, in one sentence; empty when it can."""

def lasting_faults(disturbances: collections.abc.Sequence[LearnDisturbance]) -> list[Fault]:
    """The faults of those disturbances that can stay."""

def learn(
    parameters: BenchParameters,
    stroke: Stroke | None = None,
    *,
    faults: collections.abc.Sequence[Fault] = [],
    disturbances: collections.abc.Sequence[LearnDisturbance | str] = [],
    previous: LearnedRange | RangeStore | None = None,
    strictness: str | None = None,
    unit: typing.Any = None,
) -> LearnRun:
    """
    Runs the range learn; the foot does `stroke` (two full presses unless given) and stays where it ends.

    `disturbances`: LearnDisturbance values or names. `previous`: what the memory holds before, a
    LearnedRange or a RangeStore. `strictness`: "strict", "default" or "careless" in place of
    `parameters.learn`. `unit`: a learn of one's own, an object with step(ControlInput) -> Command or
    LearnAnswer, or a factory (range learned before or None, bench, period) of one. Releases the interpreter
    lock.

    Caution: local law and licensed practice come first. A simulation is no proof of safety.
    At a real throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
    """

def learn_diagram() -> str:
    """The steps of the range learn as a diagram in Mermaid's text form."""

def learn_parameters(strictness: str = "default") -> LearnParameters:
    """
    How much a range learn believes: "strict", "default" or "careless".
    """

def learned_range_rules() -> list[Rule]:
    """The rules to be judged on `learned_travel`."""

def learned_travel(
    parameters: BenchParameters, learned: LearnedRange, *, faults: collections.abc.Sequence[Fault] = []
) -> Record:
    """
    What the controller believes with pedal and blade held at 0, 1, … 100 % of travel: a Record whose time of x s is the true position x.
    """

def limits() -> dict:
    """Where the judgement draws its lines: name -> (value, unit, origin)."""

def linear_loop(
    controller: ControllerParameters,
    mechanics: BodyMechanics,
    *,
    opening: float,
    hold: float,
    speed: float = 0.0,
    period: float = 0.001,
    filter_time: float = 0.0003,
    integral: bool = True,
) -> tuple:
    """
    Matrices (A, B, C, D) of the position controller from tick to tick, at an opening [share of travel] under `hold` [V], the set point moving with `speed` [rad/s]; named and with units in `twintrack.linear`.
    """

def linear_plant(
    mechanics: BodyMechanics,
    bridge: BridgeParameters,
    *,
    angle: float,
    motion: str,
    speed: float = 1.0,
    supply: float = 13.5,
    ideal: bool = False,
) -> dict:
    """
    Matrices (A, B, C, D) of the body about a point, by dual numbers through its laws, with the duty and the state (current, angle, speed, bristle) there; named and with units in `twintrack.linear`.
    """

def log_unknowns() -> list:
    """(name, unit, meaning) of all that `predict_log` can differentiate by."""

def loop_gains(
    controller: ControllerParameters,
    mechanics: BodyMechanics,
    period: float = 0.001,
    filter_time: float = 0.0003,
) -> dict:
    """
    What the position loop runs on for a body, by name: gains of the PID [V/rad, V/(rad s), V s/rad] and of the observer (speed_observer.hpp); period and input filter in seconds.
    """

def make_controller(
    bench: BenchParameters, learned: LearnedRange | None = None, factory: typing.Any = None
) -> MadeController:
    """
    The controller that a factory makes for this bench and learned range; without a factory the built-in one. `factory`: (learned, bench, period [s]) -> object with step(), or a SharedController.
    """

def make_learn(
    bench: BenchParameters, before: LearnedRange | None = None, factory: typing.Any = None
) -> MadeLearn:
    """The range learn likewise; `before`: what the memory holds."""

def make_monitor(
    bench: BenchParameters, learned: LearnedRange | None = None, factory: typing.Any = None
) -> MadeMonitor:
    """The monitor likewise."""

def meter_points(parameters: BenchParameters) -> list[str]:
    """
    What the tip of a meter can touch: terminals, pins as 'pin NAME', the motor's leads off at the controller as 'lead NAME', 'battery', 'controller supply', 'controller ground'.
    """

def monitor_careless() -> MonitorParameters:
    """Each track alone, wide bands, long debouncing, no fallback."""

def monitor_graded() -> MonitorParameters:
    """The default's thresholds with the graded ladder of reactions."""

def monitor_strict() -> MonitorParameters:
    """Narrow and quick, every check made; its numbers are this bench's own."""

def monitor_unwatched() -> MonitorParameters:
    """No check, no reaction: the effect of a fault without a monitor."""

def on_test_stand(
    mechanics: BodyMechanics,
    voltage: numpy.typing.ArrayLike,
    *,
    period: float = 0.001,
    resistance: float = 0.0,
) -> tuple:
    """
    (current [A], angle [rad]) of a body under given voltages [V], each held for a period, in the exact solver from rest at the default position. Releases the interpreter lock.
    """

def pair_terminals(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[tuple[str, str]]:
    """(connector, terminal) of the pair, the pedal's first."""

def pin_out_remarks(
    pin_out: collections.abc.Sequence[Joint], pedal: PedalParameters, body: ThrottleBodyParameters
) -> list[str]:
    """
    What is odd about a pin-out, in sentences; empty for a correct one. InvalidParameter for names that do not exist.
    """

def predict_log(
    mechanics: BodyMechanics,
    voltage: numpy.typing.ArrayLike,
    *,
    period: float = 0.001,
    resistance: float = 0.0,
    substep: float = 0.0002,
    log: dict = {},
    by: collections.abc.Sequence[str] = [],
    angle: numpy.typing.ArrayLike = ...,
    angle_gain: float = 0.0,
    speed_gain: float = 0.0,
) -> dict:
    """
    Current [A] and angle [rad] of a body under the voltages [V] of a log, of shape (samples,), and their derivatives by the unknowns in `by`, of shape (samples, unknowns), integrated with the state on dual numbers. `log`: start_angle, angle_delay, current_delay, current_offset. `angle` leads the prediction with the gains. Releases the interpreter lock. Raises InvalidParameter.
    """

def reactions() -> list[str]:
    """
    The ladder of reactions by name, mildest first; a record's signal "reaction" counts them from 0.
    """

def record_of(time: numpy.typing.ArrayLike, columns: dict[str, numpy.typing.ArrayLike]) -> Record:
    """A Record from arrays: time [s], shape (n,), and a dict of signals of that length."""

def remarks(parameters: BenchParameters) -> list[str]:
    """What is odd about the bench's pin-out, in sentences; it is simulated all the same."""

def replay_lanes(
    body: BodyMechanics,
    bridge: BridgeParameters,
    *,
    supply: float,
    modes: collections.abc.Sequence[str],
    duties: collections.abc.Sequence[float],
    period: float = 0.001,
    substep: float = 0.0002,
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Blade angle [rad] at each tick of a body under played duties, in the lanes' fixed steps; from rest at the default position. `modes`: "drive", "brake" or "high_impedance" per tick; `supply` [V].
    """

def rule_signals() -> dict[str, str]:
    """Name and unit of every signal and figure that a rule may speak of."""

def run(
    parameters: BenchParameters,
    stroke: Stroke,
    duration: float | None = None,
    *,
    learned: LearnedRange | RangeStore | None = None,
    faults: collections.abc.Sequence[Fault] = [],
    controller: typing.Any = None,
    monitor: typing.Any = None,
    brake: Stroke | None = None,
    history: FaultMemory | None = None,
) -> Run:
    """
    Key on, the stroke, for `duration` [s] or as long as the stroke. `learned`: a LearnedRange, or a RangeStore that is read at key-on. `brake`: a Stroke of how hard the driver brakes (0 … 1), or no brake at all. `history`: the codes of earlier key cycles. `controller`: an object with step(ControlInput) -> Command; `monitor`: one with step(ControlInput, Command of the tick before) -> MonitorAnswer; or a factory (learned, bench, period) of one, called again after each reset. Releases the interpreter lock.
    """

def run_batch(
    cases: collections.abc.Sequence[Case],
    learned: collections.abc.Sequence[LearnResult | None],
    *,
    solver: str = "lanes",
    rules: collections.abc.Sequence[Rule] = [],
    judges: collections.abc.Sequence[BenchParameters] = [],
    signals: collections.abc.Sequence[str] = [],
    substep: float = 0.0002,
    threads: int = 1,
    controller: typing.Any = None,
    monitor: typing.Any = None,
) -> list[Ran]:
    """
    Runs many cases after their learns (LearnResult or None each), in order: "lanes" runs in lanes those that lanes can take and the others in the exact solver, "exact" all there. `rules` are held against each record, by `judges` (the bench of each case by default); records keep `signals` only. `controller`: a factory (LearnedRange or None, BenchParameters, period [s]) -> object with step(ControlInput) -> Command, called once a case; `monitor` likewise, step(ControlInput, Command) -> MonitorAnswer; then all run in the exact solver. Releases the interpreter lock.
    """

def run_case(
    case: Case,
    *,
    learned: LearnResult | None = None,
    trace: bool = False,
    controller: typing.Any = None,
    monitor: typing.Any = None,
) -> CaseResult:
    """
    Runs one case; a pure function. `learned`: the LearnResult of `run_learn(case)`, so that cases can share one. `controller`, `monitor`: as in run_batch; they go with `learned`, and without one nothing is learned.
    """

def run_lanes(
    cases: collections.abc.Sequence[Case],
    learned: collections.abc.Sequence[LearnResult | None],
    *,
    trace: bool = False,
    signals: collections.abc.Sequence[str] = [],
    substep: float = 0.0002,
    threads: int = 0,
    instruction_set: str = "",
) -> list[CaseResult]:
    """
    Runs many cases side by side in SIMD lanes: `run_case` for each, with the body in fixed steps of at most `substep` [s]. `learned`: one LearnResult per case, or None. `trace` keeps records, of `signals` or of all. `threads` 0: as many as the machine runs at once. Results in the order of the cases, the same bits whatever the threads. Releases the interpreter lock. Raises InvalidParameter for a case that cannot run in lanes.
    """

def run_learn(case: Case, *, unit: typing.Any = None) -> LearnRun:
    """The range learn of a stale or fresh case. `unit`: as in learn()."""

def run_learns(
    cases: collections.abc.Sequence[Case],
    *,
    substep: float = 0.0002,
    threads: int = 0,
    instruction_set: str = "",
) -> list[Learned]:
    """
    The range learns of stale or fresh cases: side by side in lanes those that lanes can take, the others in the exact solver; the case alone decides. Results in the order of the cases, the same bits whatever the threads. Releases the interpreter lock.
    """

def sampled_matrices(a: numpy.typing.ArrayLike, b: numpy.typing.ArrayLike, period: float) -> tuple:
    """(A, B) of a linear model with its inputs held over each period [s]."""

def standing_deck(
    parameters: BenchParameters,
    *,
    faults: collections.abc.Sequence[Fault] = [],
    foot: float = 0.0,
    blade: str = "released",
) -> tuple[str, list[str]]:
    """
    (text, nodes): the net behind standing_volts() as a SPICE deck without analysis lines, whose node nK is the K-th of the list.
    """

def standing_volts(
    parameters: BenchParameters,
    *,
    faults: collections.abc.Sequence[Fault] = [],
    stands: collections.abc.Sequence[tuple[float, str]],
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Volts, stands x meter_points(), against the engine block, of a bench that stands still with the key on and the motor's leads off. A stand is (foot [share of travel], blade 'released', 'closed' or 'open'). NaN where the net has no answer. Releases the interpreter lock.
    """

def tuned_gains(
    mechanics: BodyMechanics, period: float = 0.001, filter_time: float = 0.0003
) -> PidParameters:
    """PID gains for a body by the damping optimum; period and input filter in seconds."""

def unplugged_ohms(
    parameters: BenchParameters,
    *,
    faults: collections.abc.Sequence[Fault] = [],
    pairs: collections.abc.Sequence[tuple[str, str]],
    motor: bool = False,
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Ohms between pairs of meter_points() or 'ground' with the key off, the battery's minus off and every connector apart; with `motor` the winding is still plugged in. Releases the interpreter lock.
    """

def wiring_fault_kinds() -> list[FaultKind]:
    """Every kind of fault a terminal can have."""

__version__: str = "0.1.0"
