// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/units.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::bench {

control::Unit built_in_controller(const std::optional<control::LearnedRange>& learned, const BenchParameters& p) {
    return [own = control::Controller(p.controller, p.body.mechanics, learned, from_seconds(p.control_period),
                                      p.acquisition.filter_time,
                                      p.acquisition.bits)](const control::Input& in) mutable { return own.step(in); };
}

monitor::MonitorFunction built_in_monitor(const std::optional<control::LearnedRange>& learned,
                                          const BenchParameters& p) {
    return monitor::as_function(
        {p.monitor, learned, p.pedal.tracks.size(), p.body.tracks.size(), from_seconds(p.control_period)});
}

control::LearnFunction built_in_learn(const std::optional<control::LearnedRange>& before, const BenchParameters& p) {
    return control::as_function({p.learn, p.pedal.tracks.size(), p.body.tracks.size(), from_seconds(p.control_period),
                                 before ? control::RangeStore(*before) : control::RangeStore(), p.pedal.name,
                                 p.body.name});
}

template <class Made>
Made made(const Factory<Made>& factory, const char* role, const std::optional<control::LearnedRange>& learned,
          const BenchParameters& p) {
    try {
        if (Made unit = factory(learned, p)) return unit;
    } catch (const std::exception& e) {
        throw InvalidParameter(role, std::string("cannot be made: ") + e.what());
    }
    throw InvalidParameter(role, "cannot be made: the factory gave nothing");
}

template control::Unit made(const ControllerFactory&, const char*, const std::optional<control::LearnedRange>&,
                            const BenchParameters&);
template monitor::MonitorFunction made(const MonitorFactory&, const char*, const std::optional<control::LearnedRange>&,
                                       const BenchParameters&);
template control::LearnFunction made(const LearnFactory&, const char*, const std::optional<control::LearnedRange>&,
                                     const BenchParameters&);

}  // namespace twintrack::bench
