"""
Compiled heart of twintrack; use it through the package `twintrack`.
"""

from __future__ import annotations
import collections.abc
import numpy
import numpy.typing
import typing

__all__: list[str] = [
    "AcquisitionParameters",
    "Action",
    "AirFlowParameters",
    "AirPathParameters",
    "BenchParameters",
    "BodyMechanics",
    "BrakeCheckParameters",
    "BrakeSensorParameters",
    "BridgeParameters",
    "Case",
    "CaseResult",
    "CheckParameters",
    "ClosedStopParameters",
    "Command",
    "ControlInput",
    "ControllerParameters",
    "ControllerSideParameters",
    "CylinderParameters",
    "DefaultCheckParameters",
    "DriftParameters",
    "EngineCourse",
    "EngineParameters",
    "EngineReadings",
    "EngineSetup",
    "Fault",
    "FaultEntry",
    "FaultKind",
    "FaultMemory",
    "FieldInfo",
    "Formula",
    "FreezeFrame",
    "FrictionParameters",
    "HarnessParameters",
    "IdleAirParameters",
    "IdleEntryParameters",
    "IdleParameters",
    "IdleReport",
    "IdleSparkParameters",
    "IdleSpeedParameters",
    "IdleTargetParameters",
    "InvalidParameter",
    "Joint",
    "Ladder",
    "LearnLimits",
    "LearnMeasures",
    "LearnParameters",
    "LearnResult",
    "LearnRun",
    "LearnedRange",
    "LearnedTrack",
    "ManifoldParameters",
    "Mishap",
    "MishapKind",
    "MonitorParameters",
    "MotionParameters",
    "MotorParameters",
    "Outcome",
    "PedalMapParameters",
    "PedalParameters",
    "PidParameters",
    "RangeStore",
    "RateParameters",
    "ReactionRow",
    "Record",
    "RotationParameters",
    "Rule",
    "Run",
    "SelfTestParameters",
    "Session",
    "ShutdownDeviceParameters",
    "Snapshot",
    "SpringCheckParameters",
    "SpringParameters",
    "StopParameters",
    "Stroke",
    "StuckParameters",
    "ThrottleBodyParameters",
    "TrackParameters",
    "TroubleCode",
    "Verdict",
    "VoltsBandParameters",
    "VoltsLine",
    "VoltsParameters",
    "WatcherParameters",
    "WindowParameters",
    "WireParameters",
    "WiringParameters",
    "answer",
    "built_in_engines",
    "built_in_rules",
    "competition_reactions",
    "controller_pins",
    "correct_pin_out",
    "default_angle",
    "every_single_wiring_fault",
    "fault_catalogue",
    "graded_reactions",
    "hold_voltage",
    "idle_report",
    "instruction_sets",
    "judge",
    "judge_rules",
    "lane_figures",
    "lanes_refusal",
    "lasting_faults",
    "learn",
    "learn_diagram",
    "learn_parameters",
    "learned_range_rules",
    "learned_travel",
    "limits",
    "mishap_catalogue",
    "monitor_careless",
    "monitor_graded",
    "monitor_strict",
    "monitor_unwatched",
    "pair_terminals",
    "pin_out_remarks",
    "reactions",
    "record_of",
    "remarks",
    "replay_lanes",
    "rule_signals",
    "run",
    "run_case",
    "run_lanes",
    "run_learn",
    "tuned_gains",
    "wiring_fault_kinds",
]

class InvalidParameter(ValueError):
    pass

class FieldInfo:
    """
    Description of one field of a parameter object.
    """
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
    """
    How a run ended.
    """
    def __repr__(self) -> str: ...
    @property
    def ok(self) -> bool: ...
    @property
    def reason(self) -> str: ...
    @property
    def status(self) -> str:
        """
        completed, interrupted or numerical failure.
        """
    @property
    def when(self) -> float:
        """
        [s] simulated time at the end.
        """

class Record:
    """
    Signals over time: columns of equal length, read-only views tied to this object.
    """
    def __getitem__(self, name: str) -> numpy.typing.NDArray[numpy.float64]:
        """
        One signal, shape (n,).
        """
    def __len__(self) -> int: ...
    def matrix(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        A copy of all signals, shape (n, signals), time first.
        """
    @property
    def names(self) -> list[str]:
        """
        Names of the signals, in the order of the columns.
        """
    @property
    def time(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [s], shape (n,).
        """
    @property
    def units(self) -> dict[str, str]:
        """
        Unit of each signal; empty for a number without dimension.
        """

class MotorParameters:
    """
    Brushed DC motor and its gear.

    Fields (keyword arguments and attributes):
        resistance [ohm]: armature resistance at 20 degC; 0.05 to 100
        inductance [H]: armature inductance; 1e-05 to 0.1
        constant [N*m/A]: torque constant of the motor shaft; 0.0001 to 10
        brush_drop [V]: voltage lost at the brushes; 0 to 3
        temperature [degC]: winding temperature; -60 to 250
        gear_ratio: gear ratio, motor over blade; 1 to 200
        gear_efficiency: gear efficiency; 0.3 to 1
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> MotorParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> MotorParameters: ...
    def __deepcopy__(self, arg0: dict) -> MotorParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> MotorParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def brush_drop(self) -> float:
        """
        voltage lost at the brushes
        """
    @property
    def constant(self) -> float:
        """
        torque constant of the motor shaft
        """
    @property
    def gear_efficiency(self) -> float:
        """
        gear efficiency
        """
    @property
    def gear_ratio(self) -> float:
        """
        gear ratio, motor over blade
        """
    @property
    def inductance(self) -> float:
        """
        armature inductance
        """
    @property
    def resistance(self) -> float:
        """
        armature resistance at 20 degC
        """
    @property
    def temperature(self) -> float:
        """
        winding temperature
        """

class BridgeParameters:
    """
    Motor bridge and the supply behind it.

    Fields (keyword arguments and attributes):
        switch_resistance [ohm]: on-resistance of one bridge switch; 0 to 10
        supply_resistance [ohm]: internal resistance of the supply; 0 to 10
        diode_drop [V]: forward voltage of one freewheel diode; 0 to 3
        current_limit [A]: current at which the bridge stops pushing; 0.1 to 200
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> BridgeParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> BridgeParameters: ...
    def __deepcopy__(self, arg0: dict) -> BridgeParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> BridgeParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def current_limit(self) -> float:
        """
        current at which the bridge stops pushing
        """
    @property
    def diode_drop(self) -> float:
        """
        forward voltage of one freewheel diode
        """
    @property
    def supply_resistance(self) -> float:
        """
        internal resistance of the supply
        """
    @property
    def switch_resistance(self) -> float:
        """
        on-resistance of one bridge switch
        """

class SpringParameters:
    """
    Return and opener spring about the default position.

    Fields (keyword arguments and attributes):
        rest_angle [rad]: default position of the unpowered blade; -10 to 1.5
        open_preload [N*m]: preload of the return spring; 0 to 10
        open_rate [N*m/rad]: rate of the return spring; 0 to 10
        close_preload [N*m]: preload of the opener spring; 0 to 10
        close_rate [N*m/rad]: rate of the opener spring; 0 to 10
        width [rad]: angle over which a preload builds up; 0.0001 to 0.1
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> SpringParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> SpringParameters: ...
    def __deepcopy__(self, arg0: dict) -> SpringParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> SpringParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def close_preload(self) -> float:
        """
        preload of the opener spring
        """
    @property
    def close_rate(self) -> float:
        """
        rate of the opener spring
        """
    @property
    def open_preload(self) -> float:
        """
        preload of the return spring
        """
    @property
    def open_rate(self) -> float:
        """
        rate of the return spring
        """
    @property
    def rest_angle(self) -> float:
        """
        default position of the unpowered blade
        """
    @property
    def width(self) -> float:
        """
        angle over which a preload builds up
        """

class FrictionParameters:
    """
    Friction at the blade shaft.

    Fields (keyword arguments and attributes):
        kind: friction model
        coulomb [N*m]: sliding friction; 1e-05 to 20
        breakaway [N*m]: static friction, not below the sliding one; 1e-05 to 20
        stribeck_speed [rad/s]: speed over which static friction fades; 0.0001 to 100
        viscous [N*m*s/rad]: viscous friction; 0 to 10
        bristle_stiffness [N*m/rad]: stiffness before sliding; 0.1 to 1000000
        bristle_damping [N*m*s/rad]: damping before sliding; 0 to 1000
        smoothing_speed [rad/s]: speed over which the simple model changes sign; 1e-05 to 10
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> FrictionParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> FrictionParameters: ...
    def __deepcopy__(self, arg0: dict) -> FrictionParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> FrictionParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def breakaway(self) -> float:
        """
        static friction, not below the sliding one
        """
    @property
    def bristle_damping(self) -> float:
        """
        damping before sliding
        """
    @property
    def bristle_stiffness(self) -> float:
        """
        stiffness before sliding
        """
    @property
    def coulomb(self) -> float:
        """
        sliding friction
        """
    @property
    def kind(self) -> str:
        """
        friction model
        """
    @property
    def smoothing_speed(self) -> float:
        """
        speed over which the simple model changes sign
        """
    @property
    def stribeck_speed(self) -> float:
        """
        speed over which static friction fades
        """
    @property
    def viscous(self) -> float:
        """
        viscous friction
        """

class StopParameters:
    """
    Closed and open stop.

    Fields (keyword arguments and attributes):
        closed_angle [rad]: closed stop; -0.2 to 1
        open_angle [rad]: open stop; 0.2 to 2
        stiffness [N*m/rad]: contact stiffness; 10 to 1000000
        damping [s/rad]: contact damping; 0 to 10
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> StopParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> StopParameters: ...
    def __deepcopy__(self, arg0: dict) -> StopParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> StopParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def closed_angle(self) -> float:
        """
        closed stop
        """
    @property
    def damping(self) -> float:
        """
        contact damping
        """
    @property
    def open_angle(self) -> float:
        """
        open stop
        """
    @property
    def stiffness(self) -> float:
        """
        contact stiffness
        """

class BodyMechanics:
    """
    Motor, springs, friction and stops on one shaft.

    Fields (keyword arguments and attributes):
        inertia [kg*m^2]: inertia referred to the blade; 1e-06 to 1
        motor: motor and gear
        springs: return and opener spring
        friction: friction at the shaft
        stops: closed and open stop
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> BodyMechanics:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> BodyMechanics: ...
    def __deepcopy__(self, arg0: dict) -> BodyMechanics: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> BodyMechanics:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def friction(self) -> FrictionParameters:
        """
        friction at the shaft
        """
    @property
    def inertia(self) -> float:
        """
        inertia referred to the blade
        """
    @property
    def motor(self) -> MotorParameters:
        """
        motor and gear
        """
    @property
    def springs(self) -> SpringParameters:
        """
        return and opener spring
        """
    @property
    def stops(self) -> StopParameters:
        """
        closed and open stop
        """

class AirPathParameters:
    """
    Bore, shaft, leak, and the torque of the air on the blade.

    Fields (keyword arguments and attributes):
        bore [m]: bore diameter; 0.005 to 0.5
        shaft [m]: shaft diameter, below the bore; 0 to 0.4
        seat_angle [rad]: closed plate from the bore's normal; 0 to 0.5
        blade_zero [rad]: blade angle at which the plate closes; -0.5 to 1
        discharge_closed: discharge coefficient, closing; 0.1 to 1
        discharge_open: discharge coefficient, open; 0.1 to 1
        leak_area [m^2]: effective leak of the closed plate; 0 to 0.001
        torque_factor: torque of the air on the blade; 0 to 0.1
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> AirPathParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> AirPathParameters: ...
    def __deepcopy__(self, arg0: dict) -> AirPathParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> AirPathParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def blade_zero(self) -> float:
        """
        blade angle at which the plate closes
        """
    @property
    def bore(self) -> float:
        """
        bore diameter
        """
    @property
    def discharge_closed(self) -> float:
        """
        discharge coefficient, closing
        """
    @property
    def discharge_open(self) -> float:
        """
        discharge coefficient, open
        """
    @property
    def leak_area(self) -> float:
        """
        effective leak of the closed plate
        """
    @property
    def seat_angle(self) -> float:
        """
        closed plate from the bore's normal
        """
    @property
    def shaft(self) -> float:
        """
        shaft diameter, below the bore
        """
    @property
    def torque_factor(self) -> float:
        """
        torque of the air on the blade
        """

class ManifoldParameters:
    """
    Intake manifold.

    Fields (keyword arguments and attributes):
        kind: thermal model of the manifold
        volume [m^3]: manifold volume; 1e-05 to 0.1
        temperature [K]: gas (isothermal) or wall temperature; 200 to 450
        wall_conductance [W/K]: heat flow from the wall; 0 to 1000
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ManifoldParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ManifoldParameters: ...
    def __deepcopy__(self, arg0: dict) -> ManifoldParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ManifoldParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def kind(self) -> str:
        """
        thermal model of the manifold
        """
    @property
    def temperature(self) -> float:
        """
        gas (isothermal) or wall temperature
        """
    @property
    def volume(self) -> float:
        """
        manifold volume
        """
    @property
    def wall_conductance(self) -> float:
        """
        heat flow from the wall
        """

class CylinderParameters:
    """
    Cylinders: breathing and combustion.

    Fields (keyword arguments and attributes):
        count: number of cylinders; 1 to 16
        displacement [m^3]: swept volume of all cylinders; 5e-05 to 0.03
        compression_ratio: compression ratio; 4 to 25
        filling_constant: filling at standstill; 0.1 to 1.5
        filling_linear [s/rad]: filling by speed; -0.01 to 0.01
        filling_quadratic [s^2/rad^2]: filling by speed squared; -1e-05 to 1e-05
        air_share: share of air in what is drawn in; 0.5 to 1
        efficiency_constant: indicated efficiency; 0.05 to 0.6
        efficiency_linear [s/rad]: efficiency by speed; -0.01 to 0.01
        spark_loss [1/rad^2]: efficiency lost by spark retard; 0 to 10
        delay_angle [rad]: induction to power; 0.1 to 30
        air_fuel_ratio: mass of air to fuel; 5 to 40
        heating_value [J/kg]: lower heating value; 10000000 to 130000000
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> CylinderParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> CylinderParameters: ...
    def __deepcopy__(self, arg0: dict) -> CylinderParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> CylinderParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def air_fuel_ratio(self) -> float:
        """
        mass of air to fuel
        """
    @property
    def air_share(self) -> float:
        """
        share of air in what is drawn in
        """
    @property
    def compression_ratio(self) -> float:
        """
        compression ratio
        """
    @property
    def count(self) -> int:
        """
        number of cylinders
        """
    @property
    def delay_angle(self) -> float:
        """
        induction to power
        """
    @property
    def displacement(self) -> float:
        """
        swept volume of all cylinders
        """
    @property
    def efficiency_constant(self) -> float:
        """
        indicated efficiency
        """
    @property
    def efficiency_linear(self) -> float:
        """
        efficiency by speed
        """
    @property
    def filling_constant(self) -> float:
        """
        filling at standstill
        """
    @property
    def filling_linear(self) -> float:
        """
        filling by speed
        """
    @property
    def filling_quadratic(self) -> float:
        """
        filling by speed squared
        """
    @property
    def heating_value(self) -> float:
        """
        lower heating value
        """
    @property
    def spark_loss(self) -> float:
        """
        efficiency lost by spark retard
        """

class RotationParameters:
    """
    Crankshaft: inertia, friction, starter, generator.

    Fields (keyword arguments and attributes):
        inertia [kg*m^2]: inertia at the crank; 0.001 to 20
        friction_constant [Pa]: friction pressure; 0 to 1000000
        friction_linear [Pa*s/rad]: friction by speed; 0 to 10000
        friction_quadratic [Pa*s^2/rad^2]: friction by speed squared; 0 to 100
        cold_friction: added friction per 100 K below warm; 0 to 10
        warm_temperature [degC]: coolant when warm; 20 to 150
        generator_efficiency: generator efficiency; 0.1 to 1
        generator_speed [rad/s]: speed of full generator power; 1 to 500
        starter_torque [N*m]: starter at standstill; 0 to 5000
        starter_speed [rad/s]: speed the starter reaches; 1 to 200
        release_speed [rad/s]: the starter lets go; 1 to 300
        stall_speed [rad/s]: below it nothing burns; 0 to 200
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> RotationParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> RotationParameters: ...
    def __deepcopy__(self, arg0: dict) -> RotationParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> RotationParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def cold_friction(self) -> float:
        """
        added friction per 100 K below warm
        """
    @property
    def friction_constant(self) -> float:
        """
        friction pressure
        """
    @property
    def friction_linear(self) -> float:
        """
        friction by speed
        """
    @property
    def friction_quadratic(self) -> float:
        """
        friction by speed squared
        """
    @property
    def generator_efficiency(self) -> float:
        """
        generator efficiency
        """
    @property
    def generator_speed(self) -> float:
        """
        speed of full generator power
        """
    @property
    def inertia(self) -> float:
        """
        inertia at the crank
        """
    @property
    def release_speed(self) -> float:
        """
        the starter lets go
        """
    @property
    def stall_speed(self) -> float:
        """
        below it nothing burns
        """
    @property
    def starter_speed(self) -> float:
        """
        speed the starter reaches
        """
    @property
    def starter_torque(self) -> float:
        """
        starter at standstill
        """
    @property
    def warm_temperature(self) -> float:
        """
        coolant when warm
        """

class EngineParameters:
    """
    Mean-value engine: manifold, cylinders, crankshaft.

    Fields (keyword arguments and attributes):
        manifold: intake manifold
        cylinders: cylinders and combustion
        rotation: crankshaft, friction, loads
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> EngineParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> EngineParameters: ...
    def __deepcopy__(self, arg0: dict) -> EngineParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> EngineParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def cylinders(self) -> CylinderParameters:
        """
        cylinders and combustion
        """
    @property
    def manifold(self) -> ManifoldParameters:
        """
        intake manifold
        """
    @property
    def rotation(self) -> RotationParameters:
        """
        crankshaft, friction, loads
        """

class IdleTargetParameters:
    """
    Idle speed and first air by coolant temperature.

    Fields (keyword arguments and attributes):
        coolant [degC]: knots of coolant temperature; -60 to 200
        speed [rad/s]: idle speed at the knots; 10 to 400
        area [m^2]: throttle opening to begin with; 0 to 0.001
        descent_time [s]: time to let the speed down; 0 to 20
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleTargetParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleTargetParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleTargetParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleTargetParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def area(self) -> list[float]:
        """
        throttle opening to begin with
        """
    @property
    def coolant(self) -> list[float]:
        """
        knots of coolant temperature
        """
    @property
    def descent_time(self) -> float:
        """
        time to let the speed down
        """
    @property
    def speed(self) -> list[float]:
        """
        idle speed at the knots
        """

class IdleAirParameters:
    """
    Idle governor: air.

    Fields (keyword arguments and attributes):
        proportional [m^2*s/rad]: air by speed error; 0 to 1e-05
        integral [m^2/rad]: air by integrated speed error; 0 to 1e-05
        least [m^2]: smallest opening asked for; 0 to 0.001
        most [m^2]: largest opening asked for; 0 to 0.01
        start_area [m^2]: opening while the starter turns; 0 to 0.001
        accessory_area [m^2]: opening for an announced load; 0 to 0.001
        dashpot_area [m^2]: added when the pedal is let go; 0 to 0.001
        dashpot_time [s]: time in which that fades; 0.001 to 20
        learn_time [s]: time in which idle air is learned; 0.1 to 10000
        learn_band [rad/s]: speed error within which it learns; 0 to 50
        learn_limit [m^2]: most that is learned, either way; 0 to 0.001
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleAirParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleAirParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleAirParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleAirParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def accessory_area(self) -> float:
        """
        opening for an announced load
        """
    @property
    def dashpot_area(self) -> float:
        """
        added when the pedal is let go
        """
    @property
    def dashpot_time(self) -> float:
        """
        time in which that fades
        """
    @property
    def integral(self) -> float:
        """
        air by integrated speed error
        """
    @property
    def learn_band(self) -> float:
        """
        speed error within which it learns
        """
    @property
    def learn_limit(self) -> float:
        """
        most that is learned, either way
        """
    @property
    def learn_time(self) -> float:
        """
        time in which idle air is learned
        """
    @property
    def least(self) -> float:
        """
        smallest opening asked for
        """
    @property
    def most(self) -> float:
        """
        largest opening asked for
        """
    @property
    def proportional(self) -> float:
        """
        air by speed error
        """
    @property
    def start_area(self) -> float:
        """
        opening while the starter turns
        """

class IdleSparkParameters:
    """
    Idle governor: spark.

    Fields (keyword arguments and attributes):
        base [rad]: spark retard at the target; 0 to 1
        gain [s]: spark retard by speed error; 0 to 1
        most [rad]: largest spark retard; 0 to 1.2
        start [rad]: spark retard while starting; 0 to 1
        blend_time [s]: change to driving; 0 to 5
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleSparkParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleSparkParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleSparkParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleSparkParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def base(self) -> float:
        """
        spark retard at the target
        """
    @property
    def blend_time(self) -> float:
        """
        change to driving
        """
    @property
    def gain(self) -> float:
        """
        spark retard by speed error
        """
    @property
    def most(self) -> float:
        """
        largest spark retard
        """
    @property
    def start(self) -> float:
        """
        spark retard while starting
        """

class IdleEntryParameters:
    """
    Idle governor: entry, exit, overrun.

    Fields (keyword arguments and attributes):
        pedal_released: pedal travel of a foot off; 0 to 0.5
        pedal_pressed: pedal travel of a foot on; 0 to 0.5
        entry_band [rad/s]: speed excess of immediate entry; 0 to 500
        entry_time [s]: entry at any speed; 0 to 60
        overrun_cut: fuel cut on the overrun
        cut_above [rad/s]: speed excess that cuts; 1 to 1000
        resume_above [rad/s]: speed excess that resumes; 0 to 1000
        cut_delay [s]: foot off before the cut; 0 to 60
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleEntryParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleEntryParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleEntryParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleEntryParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def cut_above(self) -> float:
        """
        speed excess that cuts
        """
    @property
    def cut_delay(self) -> float:
        """
        foot off before the cut
        """
    @property
    def entry_band(self) -> float:
        """
        speed excess of immediate entry
        """
    @property
    def entry_time(self) -> float:
        """
        entry at any speed
        """
    @property
    def overrun_cut(self) -> bool:
        """
        fuel cut on the overrun
        """
    @property
    def pedal_pressed(self) -> float:
        """
        pedal travel of a foot on
        """
    @property
    def pedal_released(self) -> float:
        """
        pedal travel of a foot off
        """
    @property
    def resume_above(self) -> float:
        """
        speed excess that resumes
        """

class IdleParameters:
    """
    Idle governor.

    Fields (keyword arguments and attributes):
        target: idle speed by coolant
        air: air by speed
        spark: spark by speed
        entry: entry, exit and overrun
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def air(self) -> IdleAirParameters:
        """
        air by speed
        """
    @property
    def entry(self) -> IdleEntryParameters:
        """
        entry, exit and overrun
        """
    @property
    def spark(self) -> IdleSparkParameters:
        """
        spark by speed
        """
    @property
    def target(self) -> IdleTargetParameters:
        """
        idle speed by coolant
        """

class EngineCourse:
    """
    What key, starter and loads do during a run.

    Fields (keyword arguments and attributes):
        start_at [s]: when the starter begins to turn; 0 to 1000000
        start_for [s]: longest time the starter turns; 0 to 60
        key_off [s]: when the key is turned off; 0 to 1000000
        electrical_power [W]: electrical load; 0 to 10000
        accessory_from [s]: when a load comes; 0 to 1000000
        accessory_to [s]: when the load goes; 0 to 1000000
        accessory_torque [N*m]: torque of the load; 0 to 200
        accessory_power [W]: electrical power of the load; 0 to 10000
        announced: the idle governor is told of the load
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> EngineCourse:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> EngineCourse: ...
    def __deepcopy__(self, arg0: dict) -> EngineCourse: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> EngineCourse:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def accessory_from(self) -> float:
        """
        when a load comes
        """
    @property
    def accessory_power(self) -> float:
        """
        electrical power of the load
        """
    @property
    def accessory_to(self) -> float:
        """
        when the load goes
        """
    @property
    def accessory_torque(self) -> float:
        """
        torque of the load
        """
    @property
    def announced(self) -> bool:
        """
        the idle governor is told of the load
        """
    @property
    def electrical_power(self) -> float:
        """
        electrical load
        """
    @property
    def key_off(self) -> float | None:
        """
        when the key is turned off
        """
    @property
    def start_at(self) -> float:
        """
        when the starter begins to turn
        """
    @property
    def start_for(self) -> float:
        """
        longest time the starter turns
        """

class EngineSetup:
    """
    The engine behind a bench's throttle, and its idle governor.

    Fields (keyword arguments and attributes):
        name: name of the engine
        origin: what the numbers rest on
        model: manifold, cylinders, crankshaft
        idle: idle governor
        learned_air [m^2]: idle air learned before; -0.001 to 0.001
        altitude [m]: height above the sea; -1000 to 11000
        coolant [degC]: coolant temperature; -60 to 200
        air_meter: air is measured ahead of the throttle
        course: what key, starter and loads do
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> EngineSetup:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> EngineSetup: ...
    def __deepcopy__(self, arg0: dict) -> EngineSetup: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> EngineSetup:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def air_meter(self) -> bool:
        """
        air is measured ahead of the throttle
        """
    @property
    def altitude(self) -> float:
        """
        height above the sea
        """
    @property
    def coolant(self) -> float:
        """
        coolant temperature
        """
    @property
    def course(self) -> EngineCourse:
        """
        what key, starter and loads do
        """
    @property
    def idle(self) -> IdleParameters:
        """
        idle governor
        """
    @property
    def learned_air(self) -> float:
        """
        idle air learned before
        """
    @property
    def model(self) -> EngineParameters:
        """
        manifold, cylinders, crankshaft
        """
    @property
    def name(self) -> str:
        """
        name of the engine
        """
    @property
    def origin(self) -> str:
        """
        what the numbers rest on
        """

class TrackParameters:
    """
    One position track, ratiometric.

    Fields (keyword arguments and attributes):
        kind: kind of sensor
        position: knots, share of travel; 0 to 1
        ratio: output at the knots, share of supply; 0 to 1
        bow: bow of the characteristic, share of supply; -0.1 to 0.1
        hysteresis: half width of the play, share of travel; 0 to 0.1
        noise: rms noise, share of supply; 0 to 0.1
        clamp_low: lower output clamp, share of supply; 0 to 0.5
        clamp_high: upper output clamp, share of supply; 0.5 to 1
        resistance [ohm]: resistance: potentiometer end to end, Hall output; 1 to 100000
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> TrackParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> TrackParameters: ...
    def __deepcopy__(self, arg0: dict) -> TrackParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def characteristic(self, position: typing.Annotated[numpy.typing.ArrayLike, numpy.float64]) -> typing.Any:
        """
        Output [share of supply] at `position` [share of travel], without play and noise; same shape.
        """
    def replace(self, changes: dict = {}, **kwargs) -> TrackParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def bow(self) -> float:
        """
        bow of the characteristic, share of supply
        """
    @property
    def clamp_high(self) -> float:
        """
        upper output clamp, share of supply
        """
    @property
    def clamp_low(self) -> float:
        """
        lower output clamp, share of supply
        """
    @property
    def hysteresis(self) -> float:
        """
        half width of the play, share of travel
        """
    @property
    def kind(self) -> str:
        """
        kind of sensor
        """
    @property
    def noise(self) -> float:
        """
        rms noise, share of supply
        """
    @property
    def position(self) -> list[float]:
        """
        knots, share of travel
        """
    @property
    def ratio(self) -> list[float]:
        """
        output at the knots, share of supply
        """
    @property
    def resistance(self) -> float:
        """
        resistance: potentiometer end to end, Hall output
        """

class BrakeSensorParameters:
    """
    The sensor of the brake.

    Fields (keyword arguments and attributes):
        released: output when released, share of the reference; 0 to 1
        full: output at full braking, share of the reference; 0 to 1
        applied: braking that counts as applied; 0 to 1
        hard: braking that counts as hard; 0 to 1
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> BrakeSensorParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> BrakeSensorParameters: ...
    def __deepcopy__(self, arg0: dict) -> BrakeSensorParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> BrakeSensorParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def applied(self) -> float:
        """
        braking that counts as applied
        """
    @property
    def full(self) -> float:
        """
        output at full braking, share of the reference
        """
    @property
    def hard(self) -> float:
        """
        braking that counts as hard
        """
    @property
    def released(self) -> float:
        """
        output when released, share of the reference
        """

class PedalParameters:
    """
    An accelerator pedal.

    Fields (keyword arguments and attributes):
        name: name of the part
        origin: what the numbers rest on
        arrangement: arrangement of the tracks
        travel [rad]: travel of the pedal arm; 0.05 to 1.5
        supply: supply of the tracks
        tracks: position tracks; 2 to 3
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> PedalParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> PedalParameters: ...
    def __deepcopy__(self, arg0: dict) -> PedalParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> PedalParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def terminals(self) -> list[tuple[str, str]]:
        """
        (connector, terminal) pairs in connector order.
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def arrangement(self) -> str:
        """
        arrangement of the tracks
        """
    @property
    def name(self) -> str:
        """
        name of the part
        """
    @property
    def origin(self) -> str:
        """
        what the numbers rest on
        """
    @property
    def supply(self) -> str:
        """
        supply of the tracks
        """
    @property
    def tracks(self) -> list[TrackParameters]:
        """
        position tracks
        """
    @property
    def travel(self) -> float:
        """
        travel of the pedal arm
        """

class ThrottleBodyParameters:
    """
    A throttle body.

    Fields (keyword arguments and attributes):
        name: name of the part
        origin: what the numbers rest on
        arrangement: arrangement of the tracks
        supply: supply of the tracks
        connectors: connectors of the assembly
        mechanics: motor, springs, friction, stops
        air_path: bore and leak; zero at the closed stop
        tracks: position tracks; 2 to 3
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ThrottleBodyParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ThrottleBodyParameters: ...
    def __deepcopy__(self, arg0: dict) -> ThrottleBodyParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ThrottleBodyParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def terminals(self) -> list[tuple[str, str]]:
        """
        (connector, terminal) pairs in connector order.
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def air_path(self) -> AirPathParameters:
        """
        bore and leak; zero at the closed stop
        """
    @property
    def arrangement(self) -> str:
        """
        arrangement of the tracks
        """
    @property
    def connectors(self) -> str:
        """
        connectors of the assembly
        """
    @property
    def mechanics(self) -> BodyMechanics:
        """
        motor, springs, friction, stops
        """
    @property
    def name(self) -> str:
        """
        name of the part
        """
    @property
    def origin(self) -> str:
        """
        what the numbers rest on
        """
    @property
    def supply(self) -> str:
        """
        supply of the tracks
        """
    @property
    def tracks(self) -> list[TrackParameters]:
        """
        position tracks
        """

class AcquisitionParameters:
    """
    Input filter and converter.

    Fields (keyword arguments and attributes):
        filter_time [s]: time constant of the input filter; 0 to 0.1
        bits: resolution of the converter in bits; 6 to 16
        ratiometric: converter referred to the sensors' supply
        nominal_reference [V]: nominal sensor supply; 1 to 12
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> AcquisitionParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> AcquisitionParameters: ...
    def __deepcopy__(self, arg0: dict) -> AcquisitionParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> AcquisitionParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def bits(self) -> int:
        """
        resolution of the converter in bits
        """
    @property
    def filter_time(self) -> float:
        """
        time constant of the input filter
        """
    @property
    def nominal_reference(self) -> float:
        """
        nominal sensor supply
        """
    @property
    def ratiometric(self) -> bool:
        """
        converter referred to the sensors' supply
        """

class Joint:
    """
    A wire from a terminal to a pin.

    Fields (keyword arguments and attributes):
        terminal: contact of an assembly's connector
        pin: pin of the controller
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> Joint:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> Joint: ...
    def __deepcopy__(self, arg0: dict) -> Joint: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> Joint:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def pin(self) -> str:
        """
        pin of the controller
        """
    @property
    def terminal(self) -> str:
        """
        contact of an assembly's connector
        """

class WireParameters:
    """
    A wire with its contacts and splices.

    Fields (keyword arguments and attributes):
        section_mm2 [mm^2]: cross-section; 0.22 to 6
        length [m]: length; 0 to 100
        temperature [degC]: temperature of the copper; -60 to 250
        contacts: contacts in series; 0 to 20
        contact_resistance [ohm]: resistance of one contact; 0 to 1000
        splices: splices in series; 0 to 20
        splice_resistance [ohm]: resistance of one splice; 0 to 1000
        shielded: wire has a shield
        coupling [F/m]: capacitance to a lead beside it; 0 to 1e-09
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> WireParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> WireParameters: ...
    def __deepcopy__(self, arg0: dict) -> WireParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> WireParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def contact_resistance(self) -> float:
        """
        resistance of one contact
        """
    @property
    def contacts(self) -> int:
        """
        contacts in series
        """
    @property
    def coupling(self) -> float:
        """
        capacitance to a lead beside it
        """
    @property
    def length(self) -> float:
        """
        length
        """
    @property
    def resistance(self) -> float:
        """
        [ohm], all of it.
        """
    @property
    def section_mm2(self) -> float:
        """
        cross-section
        """
    @property
    def shielded(self) -> bool:
        """
        wire has a shield
        """
    @property
    def splice_resistance(self) -> float:
        """
        resistance of one splice
        """
    @property
    def splices(self) -> int:
        """
        splices in series
        """
    @property
    def temperature(self) -> float:
        """
        temperature of the copper
        """

class ControllerSideParameters:
    """
    The controller's side of the wiring.

    Fields (keyword arguments and attributes):
        references: reference pins that share a regulator
        regulator_resistance [ohm]: inner resistance of a regulator; 0.001 to 1000000000
        source_limit [A]: largest current a regulator delivers; 0 to 10
        sink_limit [A]: largest current a regulator takes in; 0 to 10
        limit_resistance [ohm]: slope of a regulator in limitation; 0.001 to 1000000000
        trace_resistance [ohm]: from pin to regulator or ground; 0.001 to 1000000000
        pull: where an open signal pin is pulled
        pull_resistance [ohm]: pull resistor; 0.001 to 1000000000
        series_resistance [ohm]: from signal pin to converter; 0.001 to 1000000000
        clamp_drop [V]: forward drop of an input clamp; 0 to 5
        clamp_resistance [ohm]: on-resistance of an input clamp; 0.001 to 1000000000
        consumption_resistance [ohm]: load of the controller itself; 0.001 to 1000000000
        motor_pin_resistance [ohm]: from each motor pin to ground; 10 to 100000
        input_capacitance [F]: from signal pin to ground; 1e-12 to 0.001
        edge_time [s]: in which a leg of the bridge switches; 1e-09 to 0.001
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ControllerSideParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ControllerSideParameters: ...
    def __deepcopy__(self, arg0: dict) -> ControllerSideParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ControllerSideParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def clamp_drop(self) -> float:
        """
        forward drop of an input clamp
        """
    @property
    def clamp_resistance(self) -> float:
        """
        on-resistance of an input clamp
        """
    @property
    def consumption_resistance(self) -> float:
        """
        load of the controller itself
        """
    @property
    def edge_time(self) -> float:
        """
        in which a leg of the bridge switches
        """
    @property
    def input_capacitance(self) -> float:
        """
        from signal pin to ground
        """
    @property
    def limit_resistance(self) -> float:
        """
        slope of a regulator in limitation
        """
    @property
    def motor_pin_resistance(self) -> float:
        """
        from each motor pin to ground
        """
    @property
    def pull(self) -> str:
        """
        where an open signal pin is pulled
        """
    @property
    def pull_resistance(self) -> float:
        """
        pull resistor
        """
    @property
    def references(self) -> str:
        """
        reference pins that share a regulator
        """
    @property
    def regulator_resistance(self) -> float:
        """
        inner resistance of a regulator
        """
    @property
    def series_resistance(self) -> float:
        """
        from signal pin to converter
        """
    @property
    def sink_limit(self) -> float:
        """
        largest current a regulator takes in
        """
    @property
    def source_limit(self) -> float:
        """
        largest current a regulator delivers
        """
    @property
    def trace_resistance(self) -> float:
        """
        from pin to regulator or ground
        """

class HarnessParameters:
    """
    Wires, sensor loads and the controller's side.

    Fields (keyword arguments and attributes):
        sensor_wire: each wire of a track
        motor_wire: each motor lead
        supply_wire: battery to controller
        ground_wire: controller to ground
        hall_supply_resistance [ohm]: load of one Hall track; 10 to 1000000
        wiper_resistance [ohm]: wiper contact; 0.001 to 1000000
        controller: the controller's side
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> HarnessParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> HarnessParameters: ...
    def __deepcopy__(self, arg0: dict) -> HarnessParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> HarnessParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def controller(self) -> ControllerSideParameters:
        """
        the controller's side
        """
    @property
    def ground_wire(self) -> WireParameters:
        """
        controller to ground
        """
    @property
    def hall_supply_resistance(self) -> float:
        """
        load of one Hall track
        """
    @property
    def motor_wire(self) -> WireParameters:
        """
        each motor lead
        """
    @property
    def sensor_wire(self) -> WireParameters:
        """
        each wire of a track
        """
    @property
    def supply_wire(self) -> WireParameters:
        """
        battery to controller
        """
    @property
    def wiper_resistance(self) -> float:
        """
        wiper contact
        """

class WiringParameters:
    """
    Everything between terminals and pins.

    Fields (keyword arguments and attributes):
        kind: what joins the parts and the controller
        harness: wires and controller's side
        pin_out: which terminal goes to which pin; 0 to 64
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> WiringParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> WiringParameters: ...
    def __deepcopy__(self, arg0: dict) -> WiringParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> WiringParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def harness(self) -> HarnessParameters:
        """
        wires and controller's side
        """
    @property
    def kind(self) -> str:
        """
        what joins the parts and the controller
        """
    @property
    def pin_out(self) -> list[Joint]:
        """
        which terminal goes to which pin
        """

class PedalMapParameters:
    """
    Pedal position to demanded opening.

    Fields (keyword arguments and attributes):
        pedal: knots, share of pedal travel; 0 to 1
        opening: demanded opening at the knots; 0 to 1
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> PedalMapParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> PedalMapParameters: ...
    def __deepcopy__(self, arg0: dict) -> PedalMapParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> PedalMapParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def opening(self) -> list[float]:
        """
        demanded opening at the knots
        """
    @property
    def pedal(self) -> list[float]:
        """
        knots, share of pedal travel
        """

class PidParameters:
    """
    PID gains.

    Fields (keyword arguments and attributes):
        proportional [V/rad]: proportional gain; 0 to 1000000
        integral [V/rad/s]: integral gain; 0 to 100000000
        derivative [V*s/rad]: derivative gain; 0 to 100000
        derivative_filter [s]: filter of the derivative; 0 to 1
        dead_band [rad]: error the integral part ignores; 0 to 0.1
        limit [V]: largest output; 0 to 1000000000
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> PidParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> PidParameters: ...
    def __deepcopy__(self, arg0: dict) -> PidParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> PidParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def dead_band(self) -> float:
        """
        error the integral part ignores
        """
    @property
    def derivative(self) -> float:
        """
        derivative gain
        """
    @property
    def derivative_filter(self) -> float:
        """
        filter of the derivative
        """
    @property
    def integral(self) -> float:
        """
        integral gain
        """
    @property
    def limit(self) -> float:
        """
        largest output
        """
    @property
    def proportional(self) -> float:
        """
        proportional gain
        """

class SelfTestParameters:
    """
    The test of default position and springs at key-on.

    Fields (keyword arguments and attributes):
        enabled: the test is made
        tolerance: about the default position, share of travel; 0.001 to 0.5
        twitch_opening: twitch above the default position; 0 to 0.3
        twitch_time [s]: length of the twitch; 0.01 to 5
        return_time [s]: time the springs have after the twitch; 0.01 to 5
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> SelfTestParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> SelfTestParameters: ...
    def __deepcopy__(self, arg0: dict) -> SelfTestParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> SelfTestParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def enabled(self) -> bool:
        """
        the test is made
        """
    @property
    def return_time(self) -> float:
        """
        time the springs have after the twitch
        """
    @property
    def tolerance(self) -> float:
        """
        about the default position, share of travel
        """
    @property
    def twitch_opening(self) -> float:
        """
        twitch above the default position
        """
    @property
    def twitch_time(self) -> float:
        """
        length of the twitch
        """

class ClosedStopParameters:
    """
    Following of the closed stop while running.

    Fields (keyword arguments and attributes):
        enabled: the closed stop is followed
        rate [1/s]: fastest change, share of travel per second; 0 to 1
        limit: largest change, share of travel; 0 to 0.2
        duty: duty that counts as pushing; 0.01 to 1
        time [s]: time without movement; 0.01 to 60
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ClosedStopParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ClosedStopParameters: ...
    def __deepcopy__(self, arg0: dict) -> ClosedStopParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ClosedStopParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def duty(self) -> float:
        """
        duty that counts as pushing
        """
    @property
    def enabled(self) -> bool:
        """
        the closed stop is followed
        """
    @property
    def limit(self) -> float:
        """
        largest change, share of travel
        """
    @property
    def rate(self) -> float:
        """
        fastest change, share of travel per second
        """
    @property
    def time(self) -> float:
        """
        time without movement
        """

class ControllerParameters:
    """
    The built-in position controller.

    Fields (keyword arguments and attributes):
        pedal_map: pedal position to demanded opening
        nominal_supply [V]: supply assumed when none is measured; 6 to 32
        set_point_time [s]: time constant of each set-point filter; 0 to 1
        self_check_time [s]: watch before the motor is powered; 0 to 5
        twitch_opening: key-on twitch above the default position; 0 to 0.2
        twitch_time [s]: length of the key-on twitch; 0 to 2
        duty_limit: largest duty; 0.05 to 1
        proportional [V/rad]: proportional gain; 0 to 1000000
        integral [V/rad/s]: integral gain; 0 to 100000000
        derivative [V*s/rad]: derivative gain; 0 to 100000
        feed_forward: feed-forward of springs, friction and back-EMF
        self_test: test of default position and springs at key-on
        closed_stop: following of the closed stop while running
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ControllerParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ControllerParameters: ...
    def __deepcopy__(self, arg0: dict) -> ControllerParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ControllerParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def closed_stop(self) -> ClosedStopParameters:
        """
        following of the closed stop while running
        """
    @property
    def derivative(self) -> float | None:
        """
        derivative gain
        """
    @property
    def duty_limit(self) -> float:
        """
        largest duty
        """
    @property
    def feed_forward(self) -> bool:
        """
        feed-forward of springs, friction and back-EMF
        """
    @property
    def integral(self) -> float | None:
        """
        integral gain
        """
    @property
    def nominal_supply(self) -> float:
        """
        supply assumed when none is measured
        """
    @property
    def pedal_map(self) -> PedalMapParameters:
        """
        pedal position to demanded opening
        """
    @property
    def proportional(self) -> float | None:
        """
        proportional gain
        """
    @property
    def self_check_time(self) -> float:
        """
        watch before the motor is powered
        """
    @property
    def self_test(self) -> SelfTestParameters:
        """
        test of default position and springs at key-on
        """
    @property
    def set_point_time(self) -> float:
        """
        time constant of each set-point filter
        """
    @property
    def twitch_opening(self) -> float:
        """
        key-on twitch above the default position
        """
    @property
    def twitch_time(self) -> float:
        """
        length of the key-on twitch
        """

class LearnLimits:
    """
    What a range learn believes.

    Fields (keyword arguments and attributes):
        throttle_span_least: least span of throttle track 1 of full scale; 0.02 to 1
        pedal_span_least: least span of pedal track 1 of full scale; 0.02 to 1
        second_span_least: least span of any other track of full scale; 0.02 to 1
        closing_move_most: largest movement when closing, of full scale; 0.01 to 1
        band_margin: room between learned ends and electrical band; 0 to 0.4
        gap_most: largest part of the travel without a reading; 0 to 1
        turn_back_most: share of span a curve may run backwards; 0 to 1
        bend_most: share of span a curve may leave line or knee; 0 to 1
        alike_least: two tracks nearer than this are one, of full scale; 0 to 0.5
        default_opening_most: highest default position, of travel; 0 to 1
        default_opening_least: lowest default position off the stop; 0 to 1
        default_mismatch_most: tracks at the default position, of travel; 0 to 1
        default_repeat_most: default position from below and above, of travel; 0 to 1
        return_time_most [s]: longest return from the open stop; 0.01 to 60
        noise_most: largest rms noise of a track at rest, of full scale; 0 to 1
        press_agreement: largest difference of the presses, of span; 0.001 to 1
        pedal_rises: the first pedal track must rise when pressed
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> LearnLimits:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> LearnLimits: ...
    def __deepcopy__(self, arg0: dict) -> LearnLimits: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> LearnLimits:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def alike_least(self) -> float:
        """
        two tracks nearer than this are one, of full scale
        """
    @property
    def band_margin(self) -> float:
        """
        room between learned ends and electrical band
        """
    @property
    def bend_most(self) -> float:
        """
        share of span a curve may leave line or knee
        """
    @property
    def closing_move_most(self) -> float:
        """
        largest movement when closing, of full scale
        """
    @property
    def default_mismatch_most(self) -> float:
        """
        tracks at the default position, of travel
        """
    @property
    def default_opening_least(self) -> float:
        """
        lowest default position off the stop
        """
    @property
    def default_opening_most(self) -> float:
        """
        highest default position, of travel
        """
    @property
    def default_repeat_most(self) -> float:
        """
        default position from below and above, of travel
        """
    @property
    def gap_most(self) -> float:
        """
        largest part of the travel without a reading
        """
    @property
    def noise_most(self) -> float:
        """
        largest rms noise of a track at rest, of full scale
        """
    @property
    def pedal_rises(self) -> bool:
        """
        the first pedal track must rise when pressed
        """
    @property
    def pedal_span_least(self) -> float:
        """
        least span of pedal track 1 of full scale
        """
    @property
    def press_agreement(self) -> float:
        """
        largest difference of the presses, of span
        """
    @property
    def return_time_most(self) -> float:
        """
        longest return from the open stop
        """
    @property
    def second_span_least(self) -> float:
        """
        least span of any other track of full scale
        """
    @property
    def throttle_span_least(self) -> float:
        """
        least span of throttle track 1 of full scale
        """
    @property
    def turn_back_most(self) -> float:
        """
        share of span a curve may run backwards
        """

class LearnParameters:
    """
    The range learn.

    Fields (keyword arguments and attributes):
        nominal_supply [V]: supply the duties are meant for; 6 to 32
        supply_least [V]: lowest supply for a learn; 0 to 32
        supply_most [V]: highest supply for a learn; 0 to 64
        closing_duty: largest duty toward the closed stop; 0.01 to 1
        opening_duty: largest duty toward the open stop; 0.01 to 1
        sweep_rate [1/s]: speed of the sweep, share of full scale per second; 0.01 to 2
        settle_time [s]: time without movement that counts as arrived; 0.01 to 5
        still_band: what counts as no movement, share of full scale; 0.0005 to 0.2
        step_limit [s]: longest time any step may take; 0.1 to 600
        presses: full presses asked of the foot; 1 to 2
        band_low: lower end of the electrical band, share of full scale; 0 to 0.5
        band_high: upper end of the electrical band, share of full scale; 0.5 to 1
        limits: what the learn believes
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> LearnParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> LearnParameters: ...
    def __deepcopy__(self, arg0: dict) -> LearnParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> LearnParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def band_high(self) -> float:
        """
        upper end of the electrical band, share of full scale
        """
    @property
    def band_low(self) -> float:
        """
        lower end of the electrical band, share of full scale
        """
    @property
    def closing_duty(self) -> float:
        """
        largest duty toward the closed stop
        """
    @property
    def limits(self) -> LearnLimits:
        """
        what the learn believes
        """
    @property
    def nominal_supply(self) -> float:
        """
        supply the duties are meant for
        """
    @property
    def opening_duty(self) -> float:
        """
        largest duty toward the open stop
        """
    @property
    def presses(self) -> int:
        """
        full presses asked of the foot
        """
    @property
    def settle_time(self) -> float:
        """
        time without movement that counts as arrived
        """
    @property
    def step_limit(self) -> float:
        """
        longest time any step may take
        """
    @property
    def still_band(self) -> float:
        """
        what counts as no movement, share of full scale
        """
    @property
    def supply_least(self) -> float:
        """
        lowest supply for a learn
        """
    @property
    def supply_most(self) -> float:
        """
        highest supply for a learn
        """
    @property
    def sweep_rate(self) -> float:
        """
        speed of the sweep, share of full scale per second
        """

class LearnedTrack:
    """
    Readings of one track at evenly spaced positions of its assembly's first track.
    """
    def linear_position(self, reading: typing.SupportsFloat | typing.SupportsIndex) -> float:
        """
        Position for a reading, linear between the ends.
        """
    @property
    def curve(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [share of converter full scale], shape (33,), a copy.
        """
    @property
    def end(self) -> float: ...
    @property
    def start(self) -> float: ...

class LearnedRange:
    """
    What a range learn stores of a pair.
    """

    __hash__: typing.ClassVar[None] = None
    @staticmethod
    def from_dict(values: dict) -> LearnedRange:
        """
        Refuses another version and a checksum that does not fit; without `checksum` the contents count.
        """
    def __eq__(self, arg0: LearnedRange) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, **kwargs) -> LearnedRange:
        """
        A changed copy: entries of `to_dict` as keywords.
        """
    def to_dict(self) -> dict:
        """
        Plain lists and numbers with version and checksum; `from_dict` is the inverse.
        """
    @property
    def body_name(self) -> str: ...
    @property
    def checksum(self) -> str:
        """
        CRC-32 of the record, in hexadecimal.
        """
    @property
    def count(self) -> int:
        """
        Number of the learn; 0: made by hand.
        """
    @property
    def default_opening(self) -> float:
        """
        Where the unpowered blade stood [share of travel].
        """
    @property
    def learned_at(self) -> float:
        """
        [s] since key-on.
        """
    @property
    def pedal(self) -> list[LearnedTrack]: ...
    @property
    def pedal_name(self) -> str: ...
    @property
    def supply(self) -> float:
        """
        [V] under which it was learned; 0: not known.
        """
    @property
    def throttle(self) -> list[LearnedTrack]: ...
    @property
    def version(self) -> int:
        """
        Of the record's layout.
        """

class RangeStore:
    """
    A controller's non-volatile memory: two slots, so that the record in force is never written over.
    """
    @staticmethod
    def from_slots(slots: collections.abc.Sequence[bytes]) -> RangeStore:
        """
        From two byte strings, damaged ones too.
        """
    def __getstate__(self) -> tuple: ...
    def __init__(self, range: LearnedRange | None = None) -> None:
        """
        Empty, or holding `range`.
        """
    def __setstate__(self, arg0: tuple) -> None: ...
    def write(
        self, range: LearnedRange, *, stop_after: typing.SupportsInt | typing.SupportsIndex | None = None
    ) -> None:
        """
        Writes a record; the power may be cut after `stop_after` bytes.
        """
    @property
    def range(self) -> LearnedRange | None:
        """
        The learned range in force, or None.
        """
    @property
    def slots(self) -> list:
        """
        The two slots as bytes.
        """
    @property
    def state(self) -> str:
        """
        empty, unfinished, good, damaged or foreign: what key-on finds.
        """

class LearnMeasures:
    """
    The learn in numbers; NaN what it did not come to.
    """
    @property
    def default_opening(self) -> float:
        """
        [share of travel].
        """
    @property
    def default_repeat(self) -> float:
        """
        [share of travel] from below and from above.
        """
    @property
    def opener_time(self) -> float:
        """
        [s] closed stop to rest.
        """
    @property
    def pedal_bend(self) -> float:
        """
        [share of span] worst track.
        """
    @property
    def pedal_noise(self) -> float:
        """
        [share of full scale] rms.
        """
    @property
    def press_difference(self) -> float:
        """
        [share of span].
        """
    @property
    def return_time(self) -> float:
        """
        [s] open stop to rest.
        """
    @property
    def throttle_bend(self) -> float:
        """
        [share of span] worst track.
        """
    @property
    def throttle_noise(self) -> float:
        """
        [share of full scale] rms.
        """

class LearnResult:
    """
    How a range learn ended.
    """
    @property
    def accepted(self) -> bool: ...
    @property
    def limit(self) -> float:
        """
        What it was held against.
        """
    @property
    def measured(self) -> float:
        """
        What the refusal looked at; NaN where it is no number.
        """
    @property
    def measures(self) -> LearnMeasures: ...
    @property
    def range(self) -> LearnedRange | None:
        """
        The learned range, or None.
        """
    @property
    def reason(self) -> str:
        """
        Why it was refused, with the numbers; empty when accepted.
        """
    @property
    def refusal(self) -> str:
        """
        Name of the refusal, such as "presses differ"; "none" when accepted.
        """
    @property
    def stopped_in(self) -> str:
        """
        The step it ended in.
        """

class EngineReadings:
    """
    What is measured of an engine, and what its idle governor says.
    """
    @property
    def coolant(self) -> float:
        """
        [°C].
        """
    @property
    def idle_authority(self) -> float:
        """
        Share of the governor's air above what it asks for; 0 and 1: at a limit.
        """
    @property
    def idle_goal(self) -> float:
        """
        [rad/s] that the coolant asks of the idle.
        """
    @property
    def running(self) -> bool:
        """
        It burns by itself.
        """
    @property
    def speed(self) -> float:
        """
        [rad/s].
        """

class ControlInput:
    """
    Everything a controller may know at a tick.
    """
    @property
    def air_flow(self) -> float:
        """
        [kg/s] measured; 0 without an air meter.
        """
    @property
    def brake(self) -> float:
        """
        Reading of the brake's sensor [share of full scale].
        """
    @property
    def brake_applied(self) -> bool: ...
    @property
    def brake_hard(self) -> bool: ...
    @property
    def demand_limit(self) -> float:
        """
        The demand must not exceed it [share of travel].
        """
    @property
    def demand_slope(self) -> float:
        """
        [1/s] nor rise faster; 0: no limit.
        """
    @property
    def engine(self) -> EngineReadings:
        """
        EngineReadings.
        """
    @property
    def engine_still(self) -> bool: ...
    @property
    def idle_opening(self) -> float:
        """
        The demand is never less [share of travel].
        """
    @property
    def key_on(self) -> bool: ...
    @property
    def lowest_track(self) -> bool:
        """
        Of the pedal's tracks the lowest counts.
        """
    @property
    def motor_current(self) -> float:
        """
        [A].
        """
    @property
    def motor_permitted(self) -> bool:
        """
        False: the monitor has switched the motor off.
        """
    @property
    def pedal(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [share of full scale], shape (3,); unused tracks are 0.
        """
    @property
    def pedal_reference(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [V] at the reference pins, shape (3,).
        """
    @property
    def pedal_trust(self) -> typing.Annotated[list[bool], "FixedSize(3)"]:
        """
        Which tracks may be believed, three flags.
        """
    @property
    def supply(self) -> float:
        """
        [V] measured.
        """
    @property
    def throttle(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [share of full scale], shape (3,); unused tracks are 0.
        """
    @property
    def throttle_reference(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [V] at the reference pins, shape (3,).
        """
    @property
    def throttle_trust(self) -> typing.Annotated[list[bool], "FixedSize(3)"]:
        """
        Which tracks may be believed, three flags.
        """
    @property
    def time(self) -> float:
        """
        [s] since key-on.
        """

class Command:
    """
    What a controller answers.
    """
    def __init__(
        self,
        *,
        mode: str = "high_impedance",
        duty: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        pedal: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        demand: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        set_point: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        opening: typing.SupportsFloat | typing.SupportsIndex = 0.0,
    ) -> None:
        """
        mode: "drive", "brake" or "high_impedance"; duty −1 … 1, opening positive; the rest are what it believes, as shares of travel.
        """
    def __repr__(self) -> str: ...
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

class CheckParameters:
    """
    How long a check must see a fault, and whether it forgets.

    Fields (keyword arguments and attributes):
        enabled: check is made
        confirm_time [s]: time a fault must persist; 0 to 60
        heal_time [s]: time without fault that heals; 0 to 600
        latch: confirmed until the key is turned off
        counting: how bad ticks are counted
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> CheckParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> CheckParameters: ...
    def __deepcopy__(self, arg0: dict) -> CheckParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> CheckParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def confirm_time(self) -> float:
        """
        time a fault must persist
        """
    @property
    def counting(self) -> str:
        """
        how bad ticks are counted
        """
    @property
    def enabled(self) -> bool:
        """
        check is made
        """
    @property
    def heal_time(self) -> float:
        """
        time without fault that heals
        """
    @property
    def latch(self) -> bool:
        """
        confirmed until the key is turned off
        """

class VoltsBandParameters:
    """
    The electrical band in volts.

    Fields (keyword arguments and attributes):
        enabled: the band in volts is watched too
        low [V]: lower end; 0 to 12
        high [V]: upper end; 0 to 12
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> VoltsBandParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> VoltsBandParameters: ...
    def __deepcopy__(self, arg0: dict) -> VoltsBandParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> VoltsBandParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def enabled(self) -> bool:
        """
        the band in volts is watched too
        """
    @property
    def high(self) -> float:
        """
        upper end
        """
    @property
    def low(self) -> float:
        """
        lower end
        """

class VoltsLine:
    """
    The second track's volts as a line over the first's.

    Fields (keyword arguments and attributes):
        enabled: the second track is held against the first
        offset [V]: of the line; -12 to 12
        slope: of the line; -10 to 10
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> VoltsLine:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> VoltsLine: ...
    def __deepcopy__(self, arg0: dict) -> VoltsLine: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> VoltsLine:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def enabled(self) -> bool:
        """
        the second track is held against the first
        """
    @property
    def offset(self) -> float:
        """
        of the line
        """
    @property
    def slope(self) -> float:
        """
        of the line
        """

class VoltsParameters:
    """
    Correlation in volts.

    Fields (keyword arguments and attributes):
        pedal: of the pedal
        throttle: of the throttle
        limit [V]: largest distance from the line; 0 to 12
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> VoltsParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> VoltsParameters: ...
    def __deepcopy__(self, arg0: dict) -> VoltsParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> VoltsParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def limit(self) -> float:
        """
        largest distance from the line
        """
    @property
    def pedal(self) -> VoltsLine:
        """
        of the pedal
        """
    @property
    def throttle(self) -> VoltsLine:
        """
        of the throttle
        """

class RateParameters:
    """
    A reading that changes faster than possible.

    Fields (keyword arguments and attributes):
        limit [1/s]: fastest change, share of travel per second; 1 to 100000
        hold_time [s]: time that a jump counts as a bad reading; 0 to 10
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> RateParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> RateParameters: ...
    def __deepcopy__(self, arg0: dict) -> RateParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> RateParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def hold_time(self) -> float:
        """
        time that a jump counts as a bad reading
        """
    @property
    def limit(self) -> float:
        """
        fastest change, share of travel per second
        """

class StuckParameters:
    """
    A track that stands while its partner moves.

    Fields (keyword arguments and attributes):
        still: share of travel that counts as no movement; 0.0001 to 0.5
        moved: share of travel the partner must have gone; 0.001 to 1
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> StuckParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> StuckParameters: ...
    def __deepcopy__(self, arg0: dict) -> StuckParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> StuckParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def moved(self) -> float:
        """
        share of travel the partner must have gone
        """
    @property
    def still(self) -> float:
        """
        share of travel that counts as no movement
        """

class DriftParameters:
    """
    A track beyond its learned ends.

    Fields (keyword arguments and attributes):
        limit: share of travel beyond a learned end; 0 to 1
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> DriftParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> DriftParameters: ...
    def __deepcopy__(self, arg0: dict) -> DriftParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> DriftParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def limit(self) -> float:
        """
        share of travel beyond a learned end
        """

class MotionParameters:
    """
    Drive against current and movement.

    Fields (keyword arguments and attributes):
        open_voltage [V]: voltage at which current must flow; 0.1 to 36
        open_current [A]: less than that is no current; 0 to 10
        most_current [A]: largest lasting current; 0.1 to 200
        stalled_duty: duty that must move the blade; 0.01 to 1
        still: share of travel that counts as no movement; 0.0001 to 0.5
        against_duty: duty that the blade must not run against; 0.01 to 1
        against_speed [1/s]: speed against the drive, share of travel; 0.01 to 100
        open: volts and no current
        overload: too much current
        stalled: drive and no movement
        against: movement against the drive
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> MotionParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> MotionParameters: ...
    def __deepcopy__(self, arg0: dict) -> MotionParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> MotionParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def against(self) -> CheckParameters:
        """
        movement against the drive
        """
    @property
    def against_duty(self) -> float:
        """
        duty that the blade must not run against
        """
    @property
    def against_speed(self) -> float:
        """
        speed against the drive, share of travel
        """
    @property
    def most_current(self) -> float:
        """
        largest lasting current
        """
    @property
    def open(self) -> CheckParameters:
        """
        volts and no current
        """
    @property
    def open_current(self) -> float:
        """
        less than that is no current
        """
    @property
    def open_voltage(self) -> float:
        """
        voltage at which current must flow
        """
    @property
    def overload(self) -> CheckParameters:
        """
        too much current
        """
    @property
    def stalled(self) -> CheckParameters:
        """
        drive and no movement
        """
    @property
    def stalled_duty(self) -> float:
        """
        duty that must move the blade
        """
    @property
    def still(self) -> float:
        """
        share of travel that counts as no movement
        """

class SpringCheckParameters:
    """
    A blade without power that is not at its default.

    Fields (keyword arguments and attributes):
        tolerance: about the learned default position; 0.001 to 0.5
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> SpringCheckParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> SpringCheckParameters: ...
    def __deepcopy__(self, arg0: dict) -> SpringCheckParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> SpringCheckParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def tolerance(self) -> float:
        """
        about the learned default position
        """

class DefaultCheckParameters:
    """
    A blade that is not at its default at key-on.

    Fields (keyword arguments and attributes):
        tolerance: about the learned default position; 0.001 to 0.5
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> DefaultCheckParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> DefaultCheckParameters: ...
    def __deepcopy__(self, arg0: dict) -> DefaultCheckParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> DefaultCheckParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def tolerance(self) -> float:
        """
        about the learned default position
        """

class WindowParameters:
    """
    A voltage that must stay in a window.

    Fields (keyword arguments and attributes):
        low [V]: lower end; 0 to 60
        high [V]: upper end; 0 to 60
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> WindowParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> WindowParameters: ...
    def __deepcopy__(self, arg0: dict) -> WindowParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> WindowParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def high(self) -> float:
        """
        upper end
        """
    @property
    def low(self) -> float:
        """
        lower end
        """

class BrakeCheckParameters:
    """
    Brake and throttle at once; the brake's sensor.

    Fields (keyword arguments and attributes):
        opening: permitted while braking, share of travel; 0 to 1
        band_low: lower end of the brake sensor's band; 0 to 0.5
        band_high: upper end of the brake sensor's band; 0.5 to 1
        check: brake against throttle
        sensor: brake sensor outside its band
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> BrakeCheckParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> BrakeCheckParameters: ...
    def __deepcopy__(self, arg0: dict) -> BrakeCheckParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> BrakeCheckParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def band_high(self) -> float:
        """
        upper end of the brake sensor's band
        """
    @property
    def band_low(self) -> float:
        """
        lower end of the brake sensor's band
        """
    @property
    def check(self) -> CheckParameters:
        """
        brake against throttle
        """
    @property
    def opening(self) -> float:
        """
        permitted while braking, share of travel
        """
    @property
    def sensor(self) -> CheckParameters:
        """
        brake sensor outside its band
        """

class WatcherParameters:
    """
    The second, independent watcher.

    Fields (keyword arguments and attributes):
        enabled: there is a second watcher
        time [s]: time a condition must last; 0 to 10
        lag [s]: time the blade may follow the foot down; 0 to 1
        margin: opening beyond what is allowed, share of travel; 0 to 1
        idle: opening that is always allowed, share of travel; 0 to 1
        apart: largest distance of two tracks, share of travel; 0 to 1
        most_current [A]: largest lasting current; 0.1 to 200
        no_current [A]: less than that is no current; 0 to 10
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> WatcherParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> WatcherParameters: ...
    def __deepcopy__(self, arg0: dict) -> WatcherParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> WatcherParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def apart(self) -> float:
        """
        largest distance of two tracks, share of travel
        """
    @property
    def enabled(self) -> bool:
        """
        there is a second watcher
        """
    @property
    def idle(self) -> float:
        """
        opening that is always allowed, share of travel
        """
    @property
    def lag(self) -> float:
        """
        time the blade may follow the foot down
        """
    @property
    def margin(self) -> float:
        """
        opening beyond what is allowed, share of travel
        """
    @property
    def most_current(self) -> float:
        """
        largest lasting current
        """
    @property
    def no_current(self) -> float:
        """
        less than that is no current
        """
    @property
    def time(self) -> float:
        """
        time a condition must last
        """

class ShutdownDeviceParameters:
    """
    The independent, non-programmable device of the competition rules.

    Fields (keyword arguments and attributes):
        enabled: there is such a device
        throttle_share: opening its comparator is trimmed to, share of travel; 0 to 1
        brake_time [s]: hard braking against throttle; 0 to 60
        signal_time [s]: a signal outside its band; 0 to 60
        brake_low [V]: band of the brake's signal; 0 to 12
        brake_high [V]: band of the brake's signal; 0 to 12
        throttle_low [V]: band of the throttle's signal; 0 to 12
        throttle_high [V]: band of the throttle's signal; 0 to 12
        least_supply [V]: supply below which it drops out; 0 to 36
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ShutdownDeviceParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ShutdownDeviceParameters: ...
    def __deepcopy__(self, arg0: dict) -> ShutdownDeviceParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ShutdownDeviceParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def brake_high(self) -> float:
        """
        band of the brake's signal
        """
    @property
    def brake_low(self) -> float:
        """
        band of the brake's signal
        """
    @property
    def brake_time(self) -> float:
        """
        hard braking against throttle
        """
    @property
    def enabled(self) -> bool:
        """
        there is such a device
        """
    @property
    def least_supply(self) -> float:
        """
        supply below which it drops out
        """
    @property
    def signal_time(self) -> float:
        """
        a signal outside its band
        """
    @property
    def throttle_high(self) -> float:
        """
        band of the throttle's signal
        """
    @property
    def throttle_low(self) -> float:
        """
        band of the throttle's signal
        """
    @property
    def throttle_share(self) -> float:
        """
        opening its comparator is trimmed to, share of travel
        """

class AirFlowParameters:
    """
    Air flow against opening.

    Fields (keyword arguments and attributes):
        opening: knots, share of travel; 0 to 1
        flow [kg/s]: choked flow at the knots; 0 to 10
        margin: share of the flow above it; 0 to 10
        floor [kg/s]: leaks and idle air; 0 to 1
        check: debouncing
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> AirFlowParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> AirFlowParameters: ...
    def __deepcopy__(self, arg0: dict) -> AirFlowParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> AirFlowParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> CheckParameters:
        """
        debouncing
        """
    @property
    def floor(self) -> float:
        """
        leaks and idle air
        """
    @property
    def flow(self) -> list[float]:
        """
        choked flow at the knots
        """
    @property
    def margin(self) -> float:
        """
        share of the flow above it
        """
    @property
    def opening(self) -> list[float]:
        """
        knots, share of travel
        """

class IdleSpeedParameters:
    """
    Idle speed against its goal.

    Fields (keyword arguments and attributes):
        above [rad/s]: idle speed permitted above its goal; 0.1 to 1000
        below [rad/s]: idle speed permitted below its goal; 0.1 to 1000
        off_target [rad/s]: distance from the goal that must not last; 0.1 to 1000
        coolant [degC]: coolant temperature from which it is looked at; -60 to 200
        pedal_released: pedal travel of a foot off; 0 to 0.5
        start_delay [s]: time the engine must have run; 0 to 600
        release_delay [s]: time the foot must have been off; 0 to 600
        low: speed lower than expected
        high: speed higher than expected
        system: off its goal or without room, up and down
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> IdleSpeedParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> IdleSpeedParameters: ...
    def __deepcopy__(self, arg0: dict) -> IdleSpeedParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> IdleSpeedParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def above(self) -> float:
        """
        idle speed permitted above its goal
        """
    @property
    def below(self) -> float:
        """
        idle speed permitted below its goal
        """
    @property
    def coolant(self) -> float:
        """
        coolant temperature from which it is looked at
        """
    @property
    def high(self) -> CheckParameters:
        """
        speed higher than expected
        """
    @property
    def low(self) -> CheckParameters:
        """
        speed lower than expected
        """
    @property
    def off_target(self) -> float:
        """
        distance from the goal that must not last
        """
    @property
    def pedal_released(self) -> float:
        """
        pedal travel of a foot off
        """
    @property
    def release_delay(self) -> float:
        """
        time the foot must have been off
        """
    @property
    def start_delay(self) -> float:
        """
        time the engine must have run
        """
    @property
    def system(self) -> CheckParameters:
        """
        off its goal or without room, up and down
        """

class Action:
    """
    What a rung of the ladder of reactions orders.

    Fields (keyword arguments and attributes):
        demand_limit: largest demand, share of travel; 0 to 1
        slope_limit [1/s]: fastest rise of the demand; 0: no limit; 0 to 1000
        lowest_track: of a pedal's tracks the lowest counts
        motor_permitted: the motor may have power
        speed_limit [rad/s]: engine speed held by cutting fuel; 0: no limit; 0 to 2000
        fuel_permitted: the engine may have fuel
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> Action:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> Action: ...
    def __deepcopy__(self, arg0: dict) -> Action: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> Action:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def demand_limit(self) -> float:
        """
        largest demand, share of travel
        """
    @property
    def fuel_permitted(self) -> bool:
        """
        the engine may have fuel
        """
    @property
    def lowest_track(self) -> bool:
        """
        of a pedal's tracks the lowest counts
        """
    @property
    def motor_permitted(self) -> bool:
        """
        the motor may have power
        """
    @property
    def slope_limit(self) -> float:
        """
        fastest rise of the demand; 0: no limit
        """
    @property
    def speed_limit(self) -> float:
        """
        engine speed held by cutting fuel; 0: no limit
        """

class Ladder:
    """
    The rungs of the ladder above "none", mildest first.

    Fields (keyword arguments and attributes):
        limited: on the tracks that are left
        idle: the foot is not listened to
        motor_off: the blade on its springs
        engine_off: neither motor nor fuel
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> Ladder:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> Ladder: ...
    def __deepcopy__(self, arg0: dict) -> Ladder: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> Ladder:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def engine_off(self) -> Action:
        """
        neither motor nor fuel
        """
    @property
    def idle(self) -> Action:
        """
        the foot is not listened to
        """
    @property
    def limited(self) -> Action:
        """
        on the tracks that are left
        """
    @property
    def motor_off(self) -> Action:
        """
        the blade on its springs
        """

class ReactionRow:
    """
    One line of the table of reactions: what follows from a check.

    Fields (keyword arguments and attributes):
        check: entered when this is confirmed
        side: of which assembly
        left: only while no more tracks than this are sound; 0 to 3
        reaction: what follows
        exit: when it ends, once the check is healed
        exit_time [s]: time of the exit; 0 to 600
        priority: the highest decides; of equal ones the severest; -100 to 100
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> ReactionRow:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> ReactionRow: ...
    def __deepcopy__(self, arg0: dict) -> ReactionRow: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> ReactionRow:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def check(self) -> str:
        """
        entered when this is confirmed
        """
    @property
    def exit(self) -> str:
        """
        when it ends, once the check is healed
        """
    @property
    def exit_time(self) -> float:
        """
        time of the exit
        """
    @property
    def left(self) -> int:
        """
        only while no more tracks than this are sound
        """
    @property
    def priority(self) -> int:
        """
        the highest decides; of equal ones the severest
        """
    @property
    def reaction(self) -> str:
        """
        what follows
        """
    @property
    def side(self) -> str:
        """
        of which assembly
        """

class MonitorParameters:
    """
    Thresholds of the plausibility monitor.

    Fields (keyword arguments and attributes):
        band_low: lower end of the electrical band; 0 to 0.5
        band_high: upper end of the electrical band; 0.5 to 1
        correlation_limit: largest disagreement of two tracks, share of travel; 0 to 1
        deviation_limit: largest distance of blade and set point, share of travel; 0 to 1
        range: range check
        correlation: correlation check
        blind: no track of an assembly that can be believed, added up
        deviation: deviation check
        not_closing: a blade that does not come back without power
        volts_band: range check in volts
        volts: correlation check in volts
        rate: change faster than possible
        stuck: a track stands while its partner moves
        drift: a track beyond its learned ends
        motion: drive against current and movement
        return_spring: blade without power not at its default
        default_position: the same at key-on
        supply: supply of the controller
        reference: supply of the sensors
        brake: brake against throttle, and its sensor
        air_flow: air flow against opening
        idle_speed: idle speed against its goal
        fallback: a track that looks bad is left out at once
        fallback_time [s]: time a track must look good to be believed again; 0 to 10
        watcher: the second, independent watcher
        device: the independent device of the competition rules
        motor_off_by: how the motor is switched off
        ladder: what each reaction orders
        reactions: what follows from which check; 0 to 99
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> MonitorParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> MonitorParameters: ...
    def __deepcopy__(self, arg0: dict) -> MonitorParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> MonitorParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def air_flow(self) -> AirFlowParameters:
        """
        air flow against opening
        """
    @property
    def band_high(self) -> float:
        """
        upper end of the electrical band
        """
    @property
    def band_low(self) -> float:
        """
        lower end of the electrical band
        """
    @property
    def blind(self) -> CheckParameters:
        """
        no track of an assembly that can be believed, added up
        """
    @property
    def brake(self) -> BrakeCheckParameters:
        """
        brake against throttle, and its sensor
        """
    @property
    def correlation(self) -> CheckParameters:
        """
        correlation check
        """
    @property
    def correlation_limit(self) -> float:
        """
        largest disagreement of two tracks, share of travel
        """
    @property
    def default_position(self) -> DefaultCheckParameters:
        """
        the same at key-on
        """
    @property
    def deviation(self) -> CheckParameters:
        """
        deviation check
        """
    @property
    def deviation_limit(self) -> float:
        """
        largest distance of blade and set point, share of travel
        """
    @property
    def device(self) -> ShutdownDeviceParameters:
        """
        the independent device of the competition rules
        """
    @property
    def drift(self) -> DriftParameters:
        """
        a track beyond its learned ends
        """
    @property
    def fallback(self) -> bool:
        """
        a track that looks bad is left out at once
        """
    @property
    def fallback_time(self) -> float:
        """
        time a track must look good to be believed again
        """
    @property
    def idle_speed(self) -> IdleSpeedParameters:
        """
        idle speed against its goal
        """
    @property
    def ladder(self) -> Ladder:
        """
        what each reaction orders
        """
    @property
    def motion(self) -> MotionParameters:
        """
        drive against current and movement
        """
    @property
    def motor_off_by(self) -> str:
        """
        how the motor is switched off
        """
    @property
    def not_closing(self) -> CheckParameters:
        """
        a blade that does not come back without power
        """
    @property
    def range(self) -> CheckParameters:
        """
        range check
        """
    @property
    def rate(self) -> RateParameters:
        """
        change faster than possible
        """
    @property
    def reactions(self) -> list[ReactionRow]:
        """
        what follows from which check
        """
    @property
    def reference(self) -> WindowParameters:
        """
        supply of the sensors
        """
    @property
    def return_spring(self) -> SpringCheckParameters:
        """
        blade without power not at its default
        """
    @property
    def stuck(self) -> StuckParameters:
        """
        a track stands while its partner moves
        """
    @property
    def supply(self) -> WindowParameters:
        """
        supply of the controller
        """
    @property
    def volts(self) -> VoltsParameters:
        """
        correlation check in volts
        """
    @property
    def volts_band(self) -> VoltsBandParameters:
        """
        range check in volts
        """
    @property
    def watcher(self) -> WatcherParameters:
        """
        the second, independent watcher
        """

class TroubleCode:
    """
    A trouble code (SAE J2012) with its failure-type byte.
    """
    def __repr__(self) -> str: ...
    @property
    def code(self) -> str: ...
    @property
    def confirmed(self) -> float:
        """
        [s] since key-on.
        """
    @property
    def failure_type(self) -> str: ...
    @property
    def meaning(self) -> str: ...
    @property
    def text(self) -> str: ...

class FreezeFrame:
    """
    All signals of the tick that first confirmed a code.
    """
    @property
    def command(self) -> Command:
        """
        Of the tick before.
        """
    @property
    def input(self) -> ControlInput: ...
    @property
    def reaction(self) -> str:
        """
        Before that tick.
        """

class FaultEntry:
    """
    A code and what became of it.
    """
    @property
    def code(self) -> TroubleCode: ...
    @property
    def count(self) -> int:
        """
        How often it was confirmed.
        """
    @property
    def frame(self) -> FreezeFrame | None:
        """
        The FreezeFrame, or None.
        """
    @property
    def good_cycles(self) -> int:
        """
        Key cycles since without it.
        """
    @property
    def healed(self) -> float:
        """
        [s] since that key-on.
        """
    @property
    def last(self) -> float:
        """
        [s] since that key-on.
        """
    @property
    def state(self) -> str:
        """
        absent, pending, confirmed or healed.
        """

class FaultMemory:
    """
    Codes over several key cycles: pass it from one run to the next.
    """
    def __init__(self) -> None: ...
    def clear(self) -> None:
        """
        By command; what is confirmed and in force stays.
        """
    def entries(self) -> list[FaultEntry]:
        """
        Every code that is not absent.
        """
    def key_off(self) -> None:
        """
        The key has been turned off.
        """

class Fault:
    """
    What is wrong, where, from when to when, how much; see `fault_catalogue()`.
    """
    def __init__(
        self,
        *,
        where: str,
        what: str,
        amount: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        start: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        end: typing.SupportsFloat | typing.SupportsIndex | None = None,
        ramp: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        other: str = "",
        every: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        lasting: typing.SupportsFloat | typing.SupportsIndex = 0.0,
    ) -> None:
        """
        Times in seconds since key-on; `amount` in the unit of the catalogue. A fault of the wiring has a terminal for `where`, perhaps an `other` one, and may come and go: `lasting` of each period `every`, from a pseudo-random instant of it.
        """
    def __repr__(self) -> str: ...
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
        """
        The other terminal, of a wiring fault between two.
        """
    @property
    def ramp(self) -> float: ...
    @property
    def start(self) -> float: ...
    @property
    def text(self) -> str:
        """
        In words, without its times.
        """
    @property
    def what(self) -> str: ...
    @property
    def where(self) -> str: ...

class FaultKind:
    """
    An entry of the fault catalogue.
    """
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

class BenchParameters:
    """
    A pedal, a throttle body and the controller both are wired to.

    Fields (keyword arguments and attributes):
        pedal: accelerator pedal
        body: throttle body
        brake: sensor of the brake
        acquisition: filter and converter
        bridge: motor bridge and supply
        wiring: everything between terminals and pins
        controller: position controller
        learn: range learn
        monitor: plausibility monitor
        engine: engine behind the throttle
        supply [V]: battery voltage; 0 to 36
        reference [V]: sensor supply voltage; 0 to 12
        control_period [s]: period of the controller; 0.0001 to 0.1
        record_period [s]: period of the record; 0.0001 to 10
        tolerance: relative tolerance of the integration; 1e-12 to 0.01
        seed: seed of the noise; 0 to 2147483647
        case_number: case number, part of the noise key; 0 to 2147483647
    """
    @staticmethod
    def fields() -> list[FieldInfo]:
        """
        Name, unit, kind, range, default and meaning of every field.
        """
    @staticmethod
    def from_dict(values: dict) -> BenchParameters:
        """
        The inverse of `to_dict`; fields left out keep their default.
        """
    def __copy__(self) -> BenchParameters: ...
    def __deepcopy__(self, arg0: dict) -> BenchParameters: ...
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __getstate__(self) -> dict: ...
    def __hash__(self) -> int: ...
    def __init__(self, **kwargs) -> None: ...
    def __repr__(self) -> str: ...
    def __setstate__(self, arg0: dict) -> None: ...
    def replace(self, changes: dict = {}, **kwargs) -> BenchParameters:
        """
        A changed copy. Keys are field names or dotted paths such as "motor.resistance" or "tracks[1].noise".
        """
    def to_dict(self) -> dict:
        """
        Nested plain values, by field name.
        """
    @property
    def acquisition(self) -> AcquisitionParameters:
        """
        filter and converter
        """
    @property
    def body(self) -> ThrottleBodyParameters:
        """
        throttle body
        """
    @property
    def brake(self) -> BrakeSensorParameters:
        """
        sensor of the brake
        """
    @property
    def bridge(self) -> BridgeParameters:
        """
        motor bridge and supply
        """
    @property
    def case_number(self) -> int:
        """
        case number, part of the noise key
        """
    @property
    def control_period(self) -> float:
        """
        period of the controller
        """
    @property
    def controller(self) -> ControllerParameters:
        """
        position controller
        """
    @property
    def engine(self) -> EngineSetup | None:
        """
        engine behind the throttle
        """
    @property
    def learn(self) -> LearnParameters:
        """
        range learn
        """
    @property
    def monitor(self) -> MonitorParameters:
        """
        plausibility monitor
        """
    @property
    def pedal(self) -> PedalParameters:
        """
        accelerator pedal
        """
    @property
    def record_period(self) -> float:
        """
        period of the record
        """
    @property
    def reference(self) -> float:
        """
        sensor supply voltage
        """
    @property
    def seed(self) -> int:
        """
        seed of the noise
        """
    @property
    def supply(self) -> float:
        """
        battery voltage
        """
    @property
    def tolerance(self) -> float:
        """
        relative tolerance of the integration
        """
    @property
    def wiring(self) -> WiringParameters:
        """
        everything between terminals and pins
        """

class Stroke:
    """
    A pedal movement over time: piecewise linear, held at its ends.
    """
    @staticmethod
    def rest(duration: typing.SupportsFloat | typing.SupportsIndex) -> Stroke:
        """
        Never touched.
        """
    @staticmethod
    def rest_half_full_rest() -> Stroke:
        """
        Rest, half, full, rest; ramps of one second.
        """
    @staticmethod
    def two_presses() -> Stroke:
        """
        What the range learn asks of the foot.
        """
    def __init__(
        self,
        *,
        time: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
        travel: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    ) -> None:
        """
        `time` [s] increasing, `travel` [share of pedal travel, 0 … 1]; lists of equal length.
        """
    def __repr__(self) -> str: ...
    @property
    def duration(self) -> float:
        """
        [s].
        """
    @property
    def time(self) -> list[float]: ...
    @property
    def travel(self) -> list[float]: ...

class Run:
    """
    What a run gave.
    """
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def history(self) -> FaultMemory:
        """
        Each code with state, count and freeze-frame.
        """
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record: ...

class Snapshot:
    """
    Values of one tick.
    """
    @property
    def action(self) -> Action:
        """
        What the reaction orders.
        """
    @property
    def asked(self) -> float:
        """
        Opening the pedal map asks of the true travel.
        """
    @property
    def blade_angle(self) -> float:
        """
        [rad].
        """
    @property
    def blade_opening(self) -> float:
        """
        True, share of travel.
        """
    @property
    def blade_speed(self) -> float:
        """
        [rad/s].
        """
    @property
    def brake_volts(self) -> float:
        """
        [V].
        """
    @property
    def braking(self) -> float:
        """
        True, share of full braking.
        """
    @property
    def command(self) -> Command: ...
    @property
    def device(self) -> str:
        """
        Why the independent device has tripped, or none.
        """
    @property
    def input(self) -> ControlInput: ...
    @property
    def motor_current(self) -> float:
        """
        [A].
        """
    @property
    def motor_voltage(self) -> float:
        """
        [V].
        """
    @property
    def pedal_travel(self) -> float:
        """
        True, share of travel.
        """
    @property
    def reaction(self) -> str: ...
    @property
    def supply(self) -> float:
        """
        [V].
        """
    @property
    def time(self) -> float:
        """
        [s].
        """
    @property
    def watcher(self) -> str:
        """
        Why the second watcher has taken the power away, or none.
        """

class Session:
    """
    One key-on of a bench, stepped tick by tick.
    """
    def __init__(
        self,
        parameters: BenchParameters,
        stroke: Stroke,
        *,
        learned: LearnedRange | RangeStore | None = None,
        faults: collections.abc.Sequence[Fault] = [],
        controller: typing.Any = None,
        brake: Stroke | None = None,
        history: FaultMemory | None = None,
    ) -> None: ...
    def step(self) -> Snapshot:
        """
        Makes the tick that is due and integrates to the next; returns its Snapshot.
        """
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def history(self) -> FaultMemory:
        """
        Each code with state, count and freeze-frame.
        """
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record:
        """
        A copy of what was recorded so far.
        """
    @property
    def snapshot(self) -> Snapshot:
        """
        A copy of the last tick's values.
        """
    @property
    def time(self) -> float:
        """
        [s] of the tick that is due.
        """

class MishapKind:
    """
    An entry of the list of what can go wrong during a learn.
    """
    def __repr__(self) -> str: ...
    @property
    def can_stay(self) -> bool:
        """
        May still be there when one drives off.
        """
    @property
    def least(self) -> float: ...
    @property
    def meaning(self) -> str: ...
    @property
    def most(self) -> float:
        """
        Equal to `least`: takes no amount.
        """
    @property
    def name(self) -> str: ...
    @property
    def places(self) -> list[str]:
        """
        Empty: needs no place.
        """
    @property
    def severities(self) -> list[float]:
        """
        Amounts worth trying, mild first; empty: takes none.
        """
    @property
    def unit(self) -> str: ...
    @property
    def usual(self) -> float:
        """
        The amount when none is given.
        """

class Mishap:
    """
    Something that goes wrong during a range learn; see `mishap_catalogue()`.
    """
    def __init__(
        self, name: str, amount: typing.SupportsFloat | typing.SupportsIndex | None = None, where: str = ""
    ) -> None:
        """
        `amount` in the unit of the catalogue, the usual one unless given.
        """
    def __repr__(self) -> str: ...
    @property
    def amount(self) -> float | None: ...
    @property
    def name(self) -> str: ...
    @property
    def where(self) -> str: ...

class LearnRun:
    """
    What a range learn gave.
    """
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
        """
        Name of the learn's step at each recorded time.
        """
    @property
    def stopped_in(self) -> str: ...
    @property
    def store(self) -> RangeStore:
        """
        The memory afterwards: the new record, or the old one as it was.
        """

class Case:
    """
    One pair driven through one stroke.
    """
    def __init__(
        self,
        *,
        parameters: BenchParameters,
        learn: str = "fresh",
        learn_pedal: PedalParameters | None = None,
        learn_body: ThrottleBodyParameters | None = None,
        stroke: Stroke | None = None,
        faults: collections.abc.Sequence[Fault] = [],
        mishaps: collections.abc.Sequence[Mishap] = [],
        mishaps_stay: bool = False,
        brake: Stroke | None = None,
    ) -> None:
        """
        learn: "none" (never learned), "fresh" (this pair), "stale" (with `learn_pedal` and/or `learn_body`, then exchanged). mishaps: what goes wrong during the learn; with `mishaps_stay` those that can are still there in the run.
        """
    @property
    def faults_of_run(self) -> list[Fault]:
        """
        The faults, and the mishaps that stay.
        """
    @property
    def learn(self) -> str: ...
    @property
    def parameters(self) -> BenchParameters: ...
    @property
    def stroke(self) -> Stroke: ...

class IdleReport:
    """
    How an engine idled; NaN where the run had no such time.
    """
    @property
    def air_flow(self) -> float:
        """
        [kg/s].
        """
    @property
    def authority(self) -> float:
        """
        Share of the governor's air that is left.
        """
    @property
    def deviation(self) -> float:
        """
        [rad/s] speed minus set point.
        """
    @property
    def driven_off(self) -> bool:
        """
        The motor was driven after key-off.
        """
    @property
    def finding(self) -> str:
        """
        right, noticed, wrong or dangerous.
        """
    @property
    def highest(self) -> float:
        """
        [rad/s] most above the set point with the foot off.
        """
    @property
    def hunting(self) -> float:
        """
        [rad/s] half of peak to peak.
        """
    @property
    def hunting_period(self) -> float:
        """
        [s].
        """
    @property
    def load_dip(self) -> float:
        """
        [rad/s] deepest below the set point under load.
        """
    @property
    def off_opening(self) -> float:
        """
        Of the blade at the end, the key off.
        """
    @property
    def opening(self) -> float:
        """
        Of the blade [share of travel].
        """
    @property
    def pressure(self) -> float:
        """
        [Pa] in the manifold.
        """
    @property
    def return_time(self) -> float:
        """
        [s] from the foot's last release into the band.
        """
    @property
    def runaway(self) -> float:
        """
        [s] longest time far above the set point.
        """
    @property
    def sentence(self) -> str: ...
    @property
    def set_point(self) -> float:
        """
        [rad/s].
        """
    @property
    def settling_time(self) -> float:
        """
        [s] from the starter's first turn.
        """
    @property
    def speed(self) -> float:
        """
        [rad/s] mean before load, foot or key change something.
        """
    @property
    def stalls(self) -> int: ...
    @property
    def started(self) -> bool: ...
    @property
    def stop_time(self) -> float:
        """
        [s] from key-off until the engine stands; inf: never.
        """

class CaseResult:
    """
    What became of a case.
    """
    @property
    def answer(self) -> str:
        """
        none, right, wrong or unsafe.
        """
    @property
    def codes(self) -> list[TroubleCode]: ...
    @property
    def error_full(self) -> float:
        """
        [share of travel]; NaN without such a hold.
        """
    @property
    def error_half(self) -> float:
        """
        [share of travel]; NaN without such a hold.
        """
    @property
    def error_rest(self) -> float:
        """
        [share of travel]; NaN without such a hold.
        """
    @property
    def final_opening(self) -> float:
        """
        [share of travel].
        """
    @property
    def first_code_time(self) -> float | None:
        """
        [s] since key-on, or None.
        """
    @property
    def history(self) -> FaultMemory:
        """
        Each code with state, count and freeze-frame.
        """
    @property
    def idle(self) -> IdleReport | None:
        """
        How the engine idled; None without one.
        """
    @property
    def learn_accepted(self) -> bool | None:
        """
        None when no learn was run.
        """
    @property
    def learn_reason(self) -> str: ...
    @property
    def movement(self) -> float:
        """
        Swing of the blade [share of travel].
        """
    @property
    def outcome(self) -> Outcome: ...
    @property
    def record(self) -> Record:
        """
        The record when a trace was asked for, else None.
        """
    @property
    def sentence(self) -> str:
        """
        The verdict in words.
        """
    @property
    def settling_time(self) -> float:
        """
        [s] longest over the holds; NaN if one never settles.
        """
    @property
    def unasked_opening(self) -> float:
        """
        Largest opening beyond what the foot asks [share of travel].
        """
    @property
    def unasked_time(self) -> float:
        """
        [s] longest time beyond the limit.
        """

class Formula:
    """
    A sentence about recorded signals over time; written as text by `formula`.
    """
    @staticmethod
    def compare(
        left: tuple[
            collections.abc.Sequence[tuple[str, typing.SupportsFloat | typing.SupportsIndex]],
            typing.SupportsFloat | typing.SupportsIndex,
        ],
        relation: str,
        right: tuple[
            collections.abc.Sequence[tuple[str, typing.SupportsFloat | typing.SupportsIndex]],
            typing.SupportsFloat | typing.SupportsIndex,
        ],
        *,
        absolute: bool = False,
    ) -> Formula:
        """
        Two sums, each ([(signal, weight), …], constant); `absolute` takes the magnitude of the left one.
        """
    @staticmethod
    def join(
        what: str,
        parts: collections.abc.Sequence[Formula],
        *,
        start: typing.SupportsFloat | typing.SupportsIndex = 0.0,
        end: typing.SupportsFloat | typing.SupportsIndex | None = None,
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
        """
        [s]; None: to the end of the record.
        """
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
        """
        [s].
        """
    @property
    def value(self) -> bool: ...
    @property
    def what(self) -> str: ...

class Rule:
    """
    A written requirement: wherever `applies` holds, `requires` must hold.
    """
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
        scale: typing.SupportsFloat | typing.SupportsIndex = 1.0,
        unseen: str = "",
    ) -> None: ...
    def __repr__(self) -> str: ...
    @property
    def applies(self) -> Formula: ...
    @property
    def basis(self) -> str:
        """
        How well its numbers are known.
        """
    @property
    def clause(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def requires(self) -> Formula: ...
    @property
    def scale(self) -> float:
        """
        What a margin is compared with.
        """
    @property
    def sentence(self) -> str:
        """
        What it asks, in words.
        """
    @property
    def set(self) -> str: ...
    @property
    def source(self) -> str: ...
    @property
    def unit(self) -> str:
        """
        Of the margin; empty: a share.
        """
    @property
    def unseen(self) -> str:
        """
        Why no record can show it, else empty.
        """

class Verdict:
    """
    What a record did against a rule.
    """
    def __eq__(self, arg0: typing.Any) -> bool: ...
    def __hash__(self) -> int: ...
    def __repr__(self) -> str: ...
    @property
    def finding(self) -> str:
        """
        passed, failed or not applicable.
        """
    @property
    def margin(self) -> float | None:
        """
        Least margin, in the rule's unit; negative: failed; infinite where no number decides.
        """
    @property
    def reason(self) -> str:
        """
        Why the rule is not applicable.
        """
    @property
    def rule(self) -> str:
        """
        Name of the rule.
        """
    @property
    def when(self) -> float | None:
        """
        [s] where the requirement first does not hold, or None.
        """
    @property
    def worst(self) -> float | None:
        """
        [s] where the margin is least, or None.
        """

def answer(
    formula: Formula, record: Record
) -> tuple[numpy.typing.NDArray[numpy.bool], numpy.typing.NDArray[numpy.float64]]:
    """
    Truth and margin of a formula at each row, shapes (n,).
    """

def built_in_engines() -> list[EngineSetup]:
    """
    The built-in engines, invented for demonstration.
    """

def built_in_rules() -> list[Rule]:
    """
    Every built-in rule.
    """

def competition_reactions() -> list[ReactionRow]:
    """
    The default table: the student-competition rules 2024.
    """

def controller_pins(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[str]:
    """
    Pins of a controller that serves this pair.
    """

def correct_pin_out(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[Joint]:
    """
    Every terminal of the pair to the pin of its own function.
    """

def default_angle(mechanics: BodyMechanics) -> float:
    """
    Where the springs leave the unpowered blade [rad].
    """

def every_single_wiring_fault(
    pedal: PedalParameters,
    body: ThrottleBodyParameters,
    *,
    start: typing.SupportsFloat | typing.SupportsIndex = 0.0,
) -> list[Fault]:
    """
    Every single fault the wiring of a pair can have, generated from its terminals; present from `start` [s].
    """

def fault_catalogue() -> list[FaultKind]:
    """
    Every fault there is, but for those of the wiring.
    """

def graded_reactions() -> list[ReactionRow]:
    """
    The ladder of the published three-level concept (from memory).
    """

def hold_voltage(
    mechanics: BodyMechanics, angle: typing.SupportsFloat | typing.SupportsIndex, *, opening: bool
) -> float:
    """
    Motor voltage [V] at which the blade, sliding slowly open or closed, passes `angle` [rad].
    """

def idle_report(
    record: Record, stroke: Stroke, course: EngineCourse, *, reported: bool = False, unsafe: bool = False
) -> IdleReport:
    """
    How the engine idled in a record. `reported`: a trouble code or a refused learn; `unsafe`: the verdict on the blade.
    """

def instruction_sets() -> list[str]:
    """
    Those the lanes can run on here, narrowest first; the last one is used.
    """

def judge(record: Record, stroke: Stroke) -> str:
    """
    none, right, wrong or unsafe.
    """

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
    replicas: typing.SupportsInt | typing.SupportsIndex = 1,
    substep: typing.SupportsFloat | typing.SupportsIndex = 0.0002,
    threads: typing.SupportsInt | typing.SupportsIndex = 0,
    instruction_set: str = "",
) -> dict:
    """
    As `run_lanes`, without records and verdicts: a dict of arrays, one entry per case and replica (replica r of case k at r · len(cases) + k, its case number counted on by r, so with noise of its own). mean_error and largest_error: |set point − true opening| while the motor is driven; largest_opening, final_opening: true [share of travel]; reacted_at [s], NaN without a reaction; codes: how many, NaN for a numerical failure.
    """

def lanes_refusal(case: Case) -> str:
    """
    Why a case cannot run in lanes, in one sentence; empty when it can.
    """

def lasting_faults(mishaps: collections.abc.Sequence[Mishap]) -> list[Fault]:
    """
    The faults of those mishaps that can stay.
    """

def learn(
    parameters: BenchParameters,
    stroke: Stroke | None = None,
    *,
    faults: collections.abc.Sequence[Fault] = [],
    mishaps: collections.abc.Sequence[Mishap | str] = [],
    previous: LearnedRange | RangeStore | None = None,
    strictness: str | None = None,
) -> LearnRun:
    """
    Runs the range learn; the foot does `stroke` (two full presses unless given) and stays where it ends.

    `mishaps`: what goes wrong, as Mishap values or names. `previous`: what the memory holds before, a
    LearnedRange or a RangeStore. `strictness`: "strict", "default" or "careless" in place of
    `parameters.learn`. Releases the interpreter lock.
    """

def learn_diagram() -> str:
    """
    The steps of the range learn as a diagram in Mermaid's text form.
    """

def learn_parameters(strictness: str = "default") -> LearnParameters:
    """
    How much a range learn believes: "strict", "default" or "careless".
    """

def learned_range_rules() -> list[Rule]:
    """
    The rules to be judged on `learned_travel`.
    """

def learned_travel(
    parameters: BenchParameters, learned: LearnedRange, *, faults: collections.abc.Sequence[Fault] = []
) -> Record:
    """
    What the controller believes with pedal and blade held at 0, 1, … 100 % of travel: a Record whose time of x s is the true position x.
    """

def limits() -> dict:
    """
    Where the judgement draws its lines: name -> (value, unit, origin).
    """

def mishap_catalogue() -> list[MishapKind]:
    """
    Everything that can be let go wrong during a learn.
    """

def monitor_careless() -> MonitorParameters:
    """
    Each track alone, wide bands, long debouncing, no fallback.
    """

def monitor_graded() -> MonitorParameters:
    """
    The default's thresholds with the graded ladder of reactions.
    """

def monitor_strict() -> MonitorParameters:
    """
    Narrow and quick, every check made; its numbers are this bench's own.
    """

def monitor_unwatched() -> MonitorParameters:
    """
    No check, no reaction: what a fault does when nobody looks.
    """

def pair_terminals(pedal: PedalParameters, body: ThrottleBodyParameters) -> list[tuple[str, str]]:
    """
    (connector, terminal) of the pair, the pedal's first.
    """

def pin_out_remarks(
    pin_out: collections.abc.Sequence[Joint], pedal: PedalParameters, body: ThrottleBodyParameters
) -> list[str]:
    """
    What is odd about a pin-out, in sentences; empty for a correct one. InvalidParameter for names that do not exist.
    """

def reactions() -> list[str]:
    """
    The ladder of reactions by name, mildest first; a record's signal "reaction" counts them from 0.
    """

def record_of(
    time: typing.Annotated[numpy.typing.ArrayLike, numpy.float64],
    columns: collections.abc.Mapping[str, typing.Annotated[numpy.typing.ArrayLike, numpy.float64]],
) -> Record:
    """
    A Record from arrays: time [s], shape (n,), and a dict of signals of that length.
    """

def remarks(parameters: BenchParameters) -> list[str]:
    """
    What is odd about the bench's pin-out, in sentences; it is simulated all the same.
    """

def replay_lanes(
    body: BodyMechanics,
    bridge: BridgeParameters,
    *,
    supply: typing.SupportsFloat | typing.SupportsIndex,
    modes: collections.abc.Sequence[str],
    duties: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex],
    period: typing.SupportsFloat | typing.SupportsIndex = 0.001,
    substep: typing.SupportsFloat | typing.SupportsIndex = 0.0002,
) -> numpy.typing.NDArray[numpy.float64]:
    """
    Blade angle [rad] at each tick of a body under played duties, in the lanes' fixed steps; from rest at the default position. `modes`: "drive", "brake" or "high_impedance" per tick; `supply` [V].
    """

def rule_signals() -> dict[str, str]:
    """
    Name and unit of every signal and figure that a rule may speak of.
    """

def run(
    parameters: BenchParameters,
    stroke: Stroke,
    duration: typing.SupportsFloat | typing.SupportsIndex | None = None,
    *,
    learned: LearnedRange | RangeStore | None = None,
    faults: collections.abc.Sequence[Fault] = [],
    controller: typing.Any = None,
    brake: Stroke | None = None,
    history: FaultMemory | None = None,
) -> Run:
    """
    Key on, the stroke, for `duration` [s] or as long as the stroke. `learned`: a LearnedRange, or a RangeStore that is read at key-on. `brake`: a Stroke of how hard the driver brakes (0 … 1), or no brake at all. `history`: the codes of earlier key cycles. Releases the interpreter lock.
    """

def run_case(case: Case, *, learned: LearnResult | None = None, trace: bool = False) -> CaseResult:
    """
    Runs one case; a pure function. `learned`: the LearnResult of `run_learn(case)`, so that cases can share one.
    """

def run_lanes(
    cases: collections.abc.Sequence[Case],
    learned: collections.abc.Sequence[LearnResult | None],
    *,
    trace: bool = False,
    signals: collections.abc.Sequence[str] = [],
    substep: typing.SupportsFloat | typing.SupportsIndex = 0.0002,
    threads: typing.SupportsInt | typing.SupportsIndex = 0,
    instruction_set: str = "",
) -> list[CaseResult]:
    """
    Runs many cases side by side in SIMD lanes: `run_case` for each, with the body in fixed steps of at most `substep` [s]. `learned`: one LearnResult per case, or None. `trace` keeps records, of `signals` or of all. `threads` 0: as many as the machine runs at once. Results in the order of the cases, the same bits whatever the threads. Releases the interpreter lock. Raises InvalidParameter for a case that cannot run in lanes.
    """

def run_learn(case: Case) -> LearnRun:
    """
    The range learn of a stale or fresh case.
    """

def tuned_gains(
    mechanics: BodyMechanics,
    period: typing.SupportsFloat | typing.SupportsIndex = 0.001,
    filter_time: typing.SupportsFloat | typing.SupportsIndex = 0.0003,
) -> PidParameters:
    """
    PID gains for a body by the damping optimum; period and input filter in seconds.
    """

def wiring_fault_kinds() -> list[FaultKind]:
    """
    Every kind of fault a terminal can have.
    """

__version__: str = "0.1.0"
