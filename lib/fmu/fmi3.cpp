// SPDX-License-Identifier: BSD-3-Clause
// The functions of FMI 3.0 for co-simulation, with event mode and a clock of the control ticks. What
// modelDescription.xml does not offer is in fmi3_rest.cpp.
#include "fmi3.hpp"

#include "twintrack/core/error.hpp"

using twintrack::InvalidParameter;
using twintrack::Kind;
using twintrack::Time;
using twintrack::fmu::Instance3;
using twintrack::fmu::Reference;
using twintrack::fmu::Saved;
using twintrack::fmu::Status;

namespace {

using Handle = void*;
using String = const char*;
using Logger = void (*)(void* environment, int status, String category, String message);

Instance3& of(Handle h) { return *static_cast<Instance3*>(h); }

/// Every variable is a scalar, so that there are as many values as references.
template <class Value, class Read>
int each(Handle h, const Reference* references, std::size_t count, Value* values, std::size_t there, Read&& read) {
    return of(h).attempt([&] {
        if (count != there) throw InvalidParameter("values", "are not as many as references; all are scalars");
        for (std::size_t i = 0; i < count; ++i) read(of(h), references[i], values[i]);
    });
}

}  // namespace

extern "C" {

FMI String fmi3GetVersion(void) { return "3.0"; }

FMI Handle fmi3InstantiateCoSimulation(String, String token, String resources, bool, bool logging, bool event_mode,
                                       bool early_return, const Reference*, std::size_t, void* environment,
                                       Logger logger, void*) {
    const Instance3::Log log = [=](Status status, const char* category, const std::string& message) {
        if (logger) logger(environment, status, category, message.c_str());
    };
    try {
        auto* const made = new Instance3(resources ? resources : "", token ? token : "", log);
        made->logging(logging);
        made->events(event_mode, early_return);
        return made;
    } catch (const std::exception& e) {
        log(twintrack::fmu::error, "logStatusError", e.what());
        return nullptr;
    }
}

FMI void fmi3FreeInstance(Handle h) { delete static_cast<Instance3*>(h); }

FMI int fmi3SetDebugLogging(Handle h, bool on, std::size_t, const String*) {
    of(h).logging(on);
    return 0;
}

FMI int fmi3EnterInitializationMode(Handle h, bool, double, double start, bool stops, double stop) {
    return of(h).attempt([&] {
        of(h).setup(start, stops ? std::optional(stop) : std::nullopt);
        of(h).enter_initialization();
    });
}

FMI int fmi3ExitInitializationMode(Handle h) {
    return of(h).attempt([&] { of(h).exit_initialization(); });
}

FMI int fmi3EnterEventMode(Handle h) {
    return of(h).attempt([&] { of(h).enter_events(); });
}

FMI int fmi3EnterStepMode(Handle h) {
    return of(h).attempt([&] { of(h).make_tick(); });
}

FMI int fmi3UpdateDiscreteStates(Handle h, bool* again, bool* terminate, bool* nominals, bool* values, bool* defined,
                                 double* next) {
    *again = *terminate = *nominals = *values = false;
    return of(h).attempt([&] {
        of(h).make_tick();
        *defined = true;
        *next = of(h).start() + twintrack::seconds(of(h).model().due());
    });
}

FMI int fmi3DoStep(Handle h, double time, double size, bool, bool* event, bool* terminate, bool* early,
                   double* reached) {
    *event = *terminate = *early = false;
    return of(h).attempt([&] { of(h).step_to_event(time, size, *event, *early, *reached); });
}

FMI int fmi3Terminate(Handle) { return 0; }

FMI int fmi3Reset(Handle h) {
    return of(h).attempt([&] { of(h).reset(); });
}

FMI int fmi3GetFloat64(Handle h, const Reference* r, std::size_t n, double* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, double& to) { to = i.number_or_time(v); });
}

FMI int fmi3GetInt32(Handle h, const Reference* r, std::size_t n, std::int32_t* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, std::int32_t& to) {
        to = static_cast<std::int32_t>(i.number(v, Kind::integer));
    });
}

FMI int fmi3GetInt64(Handle h, const Reference* r, std::size_t n, std::int64_t* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, std::int64_t& to) {
        to = static_cast<std::int64_t>(i.number(v, Kind::choice));
    });
}

FMI int fmi3GetBoolean(Handle h, const Reference* r, std::size_t n, bool* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, bool& to) { to = i.number(v, Kind::flag) != 0.0; });
}

FMI int fmi3GetString(Handle h, const Reference* r, std::size_t n, String* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, String& to) { to = i.text(v); });
}

FMI int fmi3GetClock(Handle h, const Reference* r, std::size_t n, bool* values) {
    return each(h, r, n, values, n, [](Instance3& i, Reference v, bool& to) { to = i.clock(v); });
}

FMI int fmi3SetFloat64(Handle h, const Reference* r, std::size_t n, const double* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, double from) { i.set(v, Kind::number, from); });
}

FMI int fmi3SetInt32(Handle h, const Reference* r, std::size_t n, const std::int32_t* values, std::size_t m) {
    return each(h, r, n, values, m,
                [](Instance3& i, Reference v, std::int32_t from) { i.set(v, Kind::integer, from); });
}

FMI int fmi3SetInt64(Handle h, const Reference* r, std::size_t n, const std::int64_t* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, std::int64_t from) {
        i.set(v, Kind::choice, static_cast<double>(from));
    });
}

FMI int fmi3SetBoolean(Handle h, const Reference* r, std::size_t n, const bool* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, bool from) { i.set(v, Kind::flag, from ? 1 : 0); });
}

FMI int fmi3SetString(Handle h, const Reference* r, std::size_t n, const String* values, std::size_t m) {
    return each(h, r, n, values, m, [](Instance3& i, Reference v, String from) { i.set_text(v, from); });
}

FMI int fmi3GetFMUState(Handle h, void** state) {
    return of(h).attempt([&] {
        auto saved = std::make_unique<Saved>(of(h).model().save());
        delete static_cast<Saved*>(*state);
        *state = saved.release();
    });
}

FMI int fmi3SetFMUState(Handle h, void* state) {
    return of(h).attempt([&] {
        of(h).model().restore(**static_cast<Saved*>(state));
        of(h).no_tick();
    });
}

FMI int fmi3FreeFMUState(Handle, void** state) {
    if (state) {
        delete static_cast<Saved*>(*state);
        *state = nullptr;
    }
    return 0;
}

}  // extern "C"
