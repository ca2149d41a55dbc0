// SPDX-License-Identifier: BSD-3-Clause
#include "instance.hpp"

#include <cmath>
#include <cstdio>

#include "twintrack/core/error.hpp"
#include "twintrack/core/text.hpp"

namespace twintrack::fmu {

using external::Model;
using external::Role;

namespace {

std::string contents(const std::string& path) {
    std::FILE* const file = std::fopen(path.c_str(), "rb");
    if (!file) throw InvalidParameter("resources", "cannot read " + path);
    std::string text;
    char buffer[65536];
    for (std::size_t n; (n = std::fread(buffer, 1, sizeof buffer, file)) > 0;) text.append(buffer, n);
    std::fclose(file);
    return text;
}

std::string seconds_text(double s) {
    char text[40];
    std::snprintf(text, sizeof text, "%.9g s", s);
    return text;
}

}  // namespace

Instance::Instance(const std::string& resources, const std::string& token, Log log)
    : json_(contents(resources + "/bench.json")),
      log_(std::move(log)),
      model_(Model::make(external::read_document(json_))) {
    if (model_->document().token != token)
        throw InvalidParameter("token", "that of modelDescription.xml is not that of resources/bench.json");
}

void Instance::complain(const char* what) noexcept {
    try {
        log_(error, "logStatusError", what);
    } catch (...) {  // the importer's own logger has thrown: there is nobody left to tell
    }
}

void Instance::setup(double start, std::optional<double> stop) {
    if (stop && !(*stop >= start)) throw InvalidParameter("stopTime", "lies before the start");
    start_ = start;
    stop_ = stop;
}

void Instance::exit_initialization() {
    if (preview_)
        model_ = std::move(preview_);
    else
        model_->start();
    initializing_ = false;
}

void Instance::reset() {
    preview_.reset();
    initializing_ = false;
    model_ = Model::make(external::read_document(json_));
}

void Instance::step(double time, double size, bool before) {
    constexpr double slack = 1e-6;  // [s] the model's clock counts microseconds
    const double here = start_ + seconds(model_->time());
    if (!(std::fabs(time - here) <= slack))
        throw InvalidParameter("doStep", "begins at " + seconds_text(time) + "; the FMU is at " + seconds_text(here));
    if (!(size >= 0.0)) throw InvalidParameter("doStep", "goes back by " + seconds_text(-size));
    if (stop_ && time + size > *stop_ + slack)
        throw InvalidParameter("doStep", "goes beyond the stop time " + seconds_text(*stop_));
    const Time until = from_seconds(time + size - start_);
    before ? model_->approach(until) : model_->advance(until);
}

const external::Variable& Instance::variable(Reference r, Kind kind) const {
    const auto& all = model_->variables();
    if (r >= all.size()) throw InvalidParameter("valueReference", "there is no " + std::to_string(r));
    if (all[r].kind != kind) throw InvalidParameter(all[r].name, "is of another type");
    return all[r];
}

Kind Instance::whole(Reference r) const {
    const auto& all = model_->variables();
    return r < all.size() && all[r].kind == Kind::choice ? Kind::choice : Kind::integer;
}

Model& Instance::shown(Reference r) {
    if (!initializing_ || running() || model_->variables()[r].role != Role::output) return *model_;
    if (!preview_) {
        auto other = Model::make(model_->document());
        other->restore(*model_->save());
        other->start();
        preview_ = std::move(other);
    }
    return *preview_;
}

double Instance::number(Reference r, Kind kind) {
    (void)variable(r, kind);
    return shown(r).number(r) + (kind == Kind::choice ? 1.0 : 0.0);
}

const char* Instance::text(Reference r) {
    (void)variable(r, Kind::text);
    return shown(r).text(r).c_str();
}

void Instance::set(Reference r, Kind kind, double value) {
    (void)variable(r, kind);
    preview_.reset();
    model_->set(r, kind == Kind::choice ? value - 1.0 : value);
}

void Instance::set_text(Reference r, const char* value) {
    (void)variable(r, Kind::text);
    preview_.reset();
    model_->set_text(r, value ? value : "");
}

}  // namespace twintrack::fmu
