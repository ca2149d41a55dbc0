// SPDX-License-Identifier: BSD-3-Clause
// The functions of FMI 2.0 for co-simulation. Only those are left out that no importer may call when
// modelDescription.xml does not offer them; they answer with an error.
#include "instance.hpp"
#include "twintrack/core/error.hpp"

using twintrack::InvalidParameter;
using twintrack::Kind;
using twintrack::fmu::Instance;
using twintrack::fmu::Reference;
using twintrack::fmu::Saved;
using twintrack::fmu::Status;

namespace {

using Component = void*;
using Boolean = int;
using String = const char*;

struct Callbacks {
    void (*logger)(void* environment, String instance, int status, String category, String message, ...);
    void* (*allocate)(std::size_t, std::size_t);
    void (*release)(void*);
    void (*step_finished)(void*, int);
    void* environment;
};

Instance& instance(Component c) { return *static_cast<Instance*>(c); }

/// "file:///tmp/a%20b" as a path.
std::string path_of(const std::string& uri) {
    const std::string scheme = "file:";
    if (uri.compare(0, scheme.size(), scheme) != 0) return uri;
    std::string rest = uri.substr(scheme.size());
    if (rest.compare(0, 2, "//") == 0) rest = rest.substr(rest.find('/', 2));
    std::string path;
    for (std::size_t i = 0; i < rest.size(); ++i) {
        const bool escaped = rest[i] == '%' && i + 2 < rest.size();
        path += escaped ? static_cast<char>(std::stoi(rest.substr(i + 1, 2), nullptr, 16)) : rest[i];
        if (escaped) i += 2;
    }
    return path;
}

template <class Value, class Read>
int each(Component c, const Reference* references, std::size_t count, Value* values, Read&& read) {
    return instance(c).attempt([&] {
        for (std::size_t i = 0; i < count; ++i) read(instance(c), references[i], values[i]);
    });
}

}  // namespace

extern "C" {

FMI String fmi2GetTypesPlatform(void) { return "default"; }
FMI String fmi2GetVersion(void) { return "2.0"; }

FMI Component fmi2Instantiate(String name, int type, String guid, String resources, const Callbacks* callbacks, Boolean,
                              Boolean logging) {
    const Callbacks functions = callbacks ? *callbacks : Callbacks{};
    const Instance::Log log = [functions, own = std::string(name ? name : "")](Status status, const char* category,
                                                                               const std::string& message) {
        if (functions.logger)
            functions.logger(functions.environment, own.c_str(), status, category, "%s", message.c_str());
    };
    try {
        if (type != 1) throw InvalidParameter("fmi2Instantiate", "only co-simulation is offered");
        auto* const made = new Instance(path_of(resources ? resources : ""), guid ? guid : "", log);
        made->logging(logging != 0);
        return made;
    } catch (const std::exception& e) {
        log(twintrack::fmu::error, "logStatusError", e.what());
        return nullptr;
    }
}

FMI void fmi2FreeInstance(Component c) { delete static_cast<Instance*>(c); }

FMI int fmi2SetDebugLogging(Component c, Boolean on, std::size_t, const String*) {
    instance(c).logging(on != 0);
    return 0;
}

FMI int fmi2SetupExperiment(Component c, Boolean, double, double start, Boolean stops, double stop) {
    return instance(c).attempt([&] { instance(c).setup(start, stops ? std::optional(stop) : std::nullopt); });
}

FMI int fmi2EnterInitializationMode(Component c) {
    instance(c).enter_initialization();
    return 0;
}

FMI int fmi2ExitInitializationMode(Component c) {
    return instance(c).attempt([&] { instance(c).exit_initialization(); });
}

FMI int fmi2Terminate(Component) { return 0; }

FMI int fmi2Reset(Component c) {
    return instance(c).attempt([&] { instance(c).reset(); });
}

FMI int fmi2GetReal(Component c, const Reference* r, std::size_t n, double* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, double& to) { to = i.number(v, Kind::number); });
}

FMI int fmi2GetInteger(Component c, const Reference* r, std::size_t n, int* values) {
    return each(c, r, n, values,
                [](Instance& i, Reference v, int& to) { to = static_cast<int>(i.number(v, i.whole(v))); });
}

FMI int fmi2GetBoolean(Component c, const Reference* r, std::size_t n, Boolean* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, int& to) { to = i.number(v, Kind::flag) != 0.0; });
}

FMI int fmi2GetString(Component c, const Reference* r, std::size_t n, String* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, String& to) { to = i.text(v); });
}

FMI int fmi2SetReal(Component c, const Reference* r, std::size_t n, const double* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, double from) { i.set(v, Kind::number, from); });
}

FMI int fmi2SetInteger(Component c, const Reference* r, std::size_t n, const int* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, int from) { i.set(v, i.whole(v), from); });
}

FMI int fmi2SetBoolean(Component c, const Reference* r, std::size_t n, const Boolean* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, int from) { i.set(v, Kind::flag, from != 0 ? 1 : 0); });
}

FMI int fmi2SetString(Component c, const Reference* r, std::size_t n, const String* values) {
    return each(c, r, n, values, [](Instance& i, Reference v, String from) { i.set_text(v, from); });
}

FMI int fmi2GetFMUstate(Component c, void** state) {
    return instance(c).attempt([&] {
        auto saved = std::make_unique<Saved>(instance(c).model().save());
        delete static_cast<Saved*>(*state);
        *state = saved.release();
    });
}

FMI int fmi2SetFMUstate(Component c, void* state) {
    return instance(c).attempt([&] { instance(c).model().restore(**static_cast<Saved*>(state)); });
}

FMI int fmi2FreeFMUstate(Component, void** state) {
    if (state) {
        delete static_cast<Saved*>(*state);
        *state = nullptr;
    }
    return 0;
}

FMI int fmi2DoStep(Component c, double time, double size, Boolean) {
    return instance(c).attempt([&] { instance(c).step(time, size); });
}

// What is not offered.
FMI int fmi2SerializedFMUstateSize(Component, void*, std::size_t*) { return twintrack::fmu::error; }
FMI int fmi2SerializeFMUstate(Component, void*, char*, std::size_t) { return twintrack::fmu::error; }
FMI int fmi2DeSerializeFMUstate(Component, const char*, std::size_t, void**) { return twintrack::fmu::error; }
FMI int fmi2GetDirectionalDerivative(Component, const Reference*, std::size_t, const Reference*, std::size_t,
                                     const double*, double*) {
    return twintrack::fmu::error;
}
FMI int fmi2SetRealInputDerivatives(Component, const Reference*, std::size_t, const int*, const double*) {
    return twintrack::fmu::error;
}
FMI int fmi2GetRealOutputDerivatives(Component, const Reference*, std::size_t, const int*, double*) {
    return twintrack::fmu::error;
}
FMI int fmi2CancelStep(Component) { return twintrack::fmu::error; }
FMI int fmi2GetStatus(Component, int, int*) { return twintrack::fmu::discard; }
FMI int fmi2GetRealStatus(Component, int, double*) { return twintrack::fmu::discard; }
FMI int fmi2GetIntegerStatus(Component, int, int*) { return twintrack::fmu::discard; }
FMI int fmi2GetBooleanStatus(Component, int, Boolean*) { return twintrack::fmu::discard; }
FMI int fmi2GetStringStatus(Component, int, String*) { return twintrack::fmu::discard; }

}  // extern "C"
