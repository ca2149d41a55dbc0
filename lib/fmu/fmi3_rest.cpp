// SPDX-License-Identifier: BSD-3-Clause
// Functions of FMI 3.0 that an importer looks for and does not need: what modelDescription.xml does not offer, and
// types of which there is no variable. They answer with an error; of no variables at all, all is well.
#include "fmi3.hpp"

using twintrack::fmu::Reference;

namespace {

using Handle = void*;

int none(std::size_t count) { return count == 0 ? twintrack::fmu::ok : twintrack::fmu::error; }

}  // namespace

#define NOT_OFFERED(name, ...) \
    FMI int name(Handle __VA_OPT__(, ) __VA_ARGS__) { return twintrack::fmu::error; }
#define NO_VARIABLE(name, type)                                                                            \
    FMI int fmi3Get##name(Handle, const Reference*, std::size_t n, type*, std::size_t) { return none(n); } \
    FMI int fmi3Set##name(Handle, const Reference*, std::size_t n, const type*, std::size_t) { return none(n); }

extern "C" {

FMI Handle fmi3InstantiateModelExchange(const char*, const char*, const char*, bool, bool, void*, void*) {
    return nullptr;
}
FMI Handle fmi3InstantiateScheduledExecution(const char*, const char*, const char*, bool, bool, void*, void*, void*,
                                             void*, void*) {
    return nullptr;
}

NO_VARIABLE(Float32, float)
NO_VARIABLE(Int8, std::int8_t)
NO_VARIABLE(UInt8, std::uint8_t)
NO_VARIABLE(Int16, std::int16_t)
NO_VARIABLE(UInt16, std::uint16_t)
NO_VARIABLE(UInt32, std::uint32_t)
NO_VARIABLE(UInt64, std::uint64_t)

FMI int fmi3GetBinary(Handle, const Reference*, std::size_t n, std::size_t*, const std::uint8_t**, std::size_t) {
    return none(n);
}
FMI int fmi3SetBinary(Handle, const Reference*, std::size_t n, const std::size_t*, const std::uint8_t* const*,
                      std::size_t) {
    return none(n);
}
FMI int fmi3SetClock(Handle, const Reference*, std::size_t n, const bool*) { return none(n); }
FMI int fmi3EvaluateDiscreteStates(Handle) { return twintrack::fmu::ok; }

NOT_OFFERED(fmi3GetNumberOfVariableDependencies, Reference, std::size_t*)
NOT_OFFERED(fmi3GetVariableDependencies, Reference, std::size_t*, Reference*, std::size_t*, int*, std::size_t)
NOT_OFFERED(fmi3SerializedFMUStateSize, void*, std::size_t*)
NOT_OFFERED(fmi3SerializeFMUState, void*, std::uint8_t*, std::size_t)
NOT_OFFERED(fmi3DeserializeFMUState, const std::uint8_t*, std::size_t, void**)
NOT_OFFERED(fmi3GetDirectionalDerivative, const Reference*, std::size_t, const Reference*, std::size_t, const double*,
            std::size_t, double*, std::size_t)
NOT_OFFERED(fmi3GetAdjointDerivative, const Reference*, std::size_t, const Reference*, std::size_t, const double*,
            std::size_t, double*, std::size_t)
NOT_OFFERED(fmi3EnterConfigurationMode)
NOT_OFFERED(fmi3ExitConfigurationMode)
NOT_OFFERED(fmi3GetIntervalDecimal, const Reference*, std::size_t, double*, int*)
NOT_OFFERED(fmi3GetIntervalFraction, const Reference*, std::size_t, std::uint64_t*, std::uint64_t*, int*)
NOT_OFFERED(fmi3GetShiftDecimal, const Reference*, std::size_t, double*)
NOT_OFFERED(fmi3GetShiftFraction, const Reference*, std::size_t, std::uint64_t*, std::uint64_t*)
NOT_OFFERED(fmi3SetIntervalDecimal, const Reference*, std::size_t, const double*)
NOT_OFFERED(fmi3SetIntervalFraction, const Reference*, std::size_t, const std::uint64_t*, const std::uint64_t*)
NOT_OFFERED(fmi3SetShiftDecimal, const Reference*, std::size_t, const double*)
NOT_OFFERED(fmi3SetShiftFraction, const Reference*, std::size_t, const std::uint64_t*, const std::uint64_t*)
NOT_OFFERED(fmi3EnterContinuousTimeMode)
NOT_OFFERED(fmi3CompletedIntegratorStep, bool, bool*, bool*)
NOT_OFFERED(fmi3SetTime, double)
NOT_OFFERED(fmi3SetContinuousStates, const double*, std::size_t)
NOT_OFFERED(fmi3GetContinuousStateDerivatives, double*, std::size_t)
NOT_OFFERED(fmi3GetEventIndicators, double*, std::size_t)
NOT_OFFERED(fmi3GetContinuousStates, double*, std::size_t)
NOT_OFFERED(fmi3GetNominalsOfContinuousStates, double*, std::size_t)
NOT_OFFERED(fmi3GetNumberOfEventIndicators, std::size_t*)
NOT_OFFERED(fmi3GetNumberOfContinuousStates, std::size_t*)
NOT_OFFERED(fmi3GetOutputDerivatives, const Reference*, std::size_t, const std::int32_t*, double*, std::size_t)
NOT_OFFERED(fmi3ActivateModelPartition, Reference, double)

}  // extern "C"
