// SPDX-License-Identifier: BSD-3-Clause
#include "scatter.hpp"

#include <utility>

#include "twintrack/core/error.hpp"

namespace twintrack::web {

void Scatter::add(const Document& d) {
    lanes::Case c;
    c.bench = d.bench;
    if (d.stroke) c.stroke = *d.stroke;
    c.learned = d.learned;
    c.faults = d.faults;
    if (d.brake) c.brake = bench::Stroke({0.0, 1.0}, {0.0, 0.0});
    lanes::check(c);
    cases_.push_back(std::move(c));
}

int Scatter::run(double every) {
    std::vector<lanes::Case> cases = std::exchange(cases_, {});
    if (cases.empty()) throw InvalidParameter("benches", "there are none to run");
    for (lanes::Case& c : cases) c.bench.record_period = every;
    lanes::Options options;
    options.signals = {"blade.opening"};
    const std::vector<lanes::Result> results = lanes::run(cases, options);
    time_.clear(), openings_.clear();
    for (const lanes::Result& r : results) {
        const auto time = r.record.time(), opening = r.record.column(0);
        if (time.size() > time_.size()) time_.assign(time.begin(), time.end());
        openings_.emplace_back(opening.begin(), opening.end());
    }
    for (auto& opening : openings_) opening.resize(time_.size(), opening.empty() ? 0.0 : opening.back());
    return static_cast<int>(time_.size());
}

}  // namespace twintrack::web
