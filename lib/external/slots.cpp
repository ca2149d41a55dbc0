// SPDX-License-Identifier: BSD-3-Clause
#include "slots.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <stdexcept>

#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/core/text.hpp"

namespace twintrack::external {

namespace {

class Walk {
public:
    Walk(std::vector<Slot>& slots, std::deque<OptionalNumber>& optional) : slots_(slots), optional_(optional) {}

    void fields(const Description& d, void* owner, const std::string& path) {
        for (const Field& f : d.fields) field(f, owner, dotted(path, f.name));
    }

private:
    void add(const Field& f, const std::string& name, Kind kind, void* at) {
        slots_.push_back({{name, kind, Role::parameter, f.unit, f.meaning, f.range, f.type->choices}, at, f.type});
    }

    void field(const Field& f, void* owner, const std::string& name) {
        switch (f.type->kind) {
            case Kind::number:
            case Kind::integer:
            case Kind::flag:
            case Kind::text:
            case Kind::choice:
                return add(f, name, f.type->kind, f.in(owner));
            case Kind::numbers:
                return entries(f, f.as<std::vector<double>>(owner), name);
            case Kind::optional_number:
                return number_or_none(f, f.as<std::optional<double>>(owner), name);
            case Kind::part:
                return fields(f.type->part(), f.in(owner), name);
            case Kind::optional_part:
            case Kind::parts:
                return parts(f, owner, name);
        }
    }

    void entries(const Field& f, std::vector<double>& list, const std::string& name) {
        for (std::size_t i = 0; i < list.size(); ++i) add(f, entry(name, i), Kind::number, &list[i]);
    }

    void number_or_none(const Field& f, std::optional<double>& number, const std::string& name) {
        OptionalNumber& held = optional_.emplace_back(&number, number.value_or(clamp(0.0, f.range.least, f.range.most)),
                                                      number.has_value());
        add(f, name, Kind::number, &held.value);
        slots_.push_back({{name + "_given", Kind::flag, Role::parameter, "",
                           "the value of " + name + " counts; else it follows from others"},
                          &held.given});
    }

    void parts(const Field& f, void* owner, const std::string& name) {
        const Type& type = *f.type;
        for (std::size_t i = 0; i < type.count(f.in(owner)); ++i)
            fields(type.part(), const_cast<void*>(type.entry(f.in(owner), i)),
                   type.kind == Kind::parts ? entry(name, i) : name);
    }

    static std::string entry(const std::string& list, std::size_t i) {
        return list + "[" + std::to_string(i + 1) + "]";
    }

    std::vector<Slot>& slots_;
    std::deque<OptionalNumber>& optional_;
};

std::size_t index_in(const Slot& slot) {
    if (!slot.type) return static_cast<std::size_t>(*static_cast<const int*>(slot.at));
    const char* chosen = slot.type->chosen(slot.at);
    const auto& all = slot.variable.choices;
    return static_cast<std::size_t>(
        std::find_if(all.begin(), all.end(), [&](const char* c) { return std::strcmp(c, chosen) == 0; }) - all.begin());
}

void choose(const Slot& slot, double value) {
    const auto& all = slot.variable.choices;
    require(value, {0.0, static_cast<double>(all.size()) - 1.0}, slot.variable.name, "", "number of the choice");
    if (slot.type)
        slot.type->choose(slot.at, static_cast<std::size_t>(value));
    else
        *static_cast<int*>(slot.at) = static_cast<int>(value);
}

void check_whole(const Variable& v, double value) {
    if (v.kind != Kind::number && value != std::floor(value))
        throw InvalidParameter(v.name, "is a whole number, and was set to " + std::to_string(value));
}

}  // namespace

const std::string& text_in(const Slot& slot) {
    if (slot.variable.kind != Kind::text) throw InvalidParameter(slot.variable.name, "is no text");
    return *static_cast<const std::string*>(slot.at);
}

void put_text(const Slot& slot, const std::string& value) {
    if (slot.variable.kind != Kind::text) throw InvalidParameter(slot.variable.name, "is no text");
    require_text(value, slot.variable.name, slot.variable.meaning);
    *static_cast<std::string*>(slot.at) = value;
}

double number_in(const Slot& slot) {
    switch (slot.variable.kind) {
        case Kind::number:
            return *static_cast<const double*>(slot.at);
        case Kind::integer:
            return *static_cast<const int*>(slot.at);
        case Kind::flag:
            return *static_cast<const bool*>(slot.at) ? 1.0 : 0.0;
        case Kind::choice:
            return static_cast<double>(index_in(slot));
        default:
            throw InvalidParameter(slot.variable.name, "is a text and no number");
    }
}

void put(const Slot& slot, double value) {
    const Variable& v = slot.variable;
    check_whole(v, value);
    if (v.kind == Kind::choice) return choose(slot, value);
    if (v.kind == Kind::flag) require(value, {0.0, 1.0}, v.name, "", "flag");
    if (v.kind == Kind::number || v.kind == Kind::integer)
        require(value, v.range, v.name, v.unit.c_str(), v.meaning.c_str());
    switch (v.kind) {
        case Kind::number:
            *static_cast<double*>(slot.at) = value;
            return;
        case Kind::integer:
            *static_cast<int*>(slot.at) = static_cast<int>(value);
            return;
        case Kind::flag:
            *static_cast<bool*>(slot.at) = value != 0.0;
            return;
        default:
            throw InvalidParameter(v.name, "is a text and no number");
    }
}

void add_fields(const Description& description, void* owner, const std::string& path, std::vector<Slot>& slots,
                std::deque<OptionalNumber>& optional) {
    Walk(slots, optional).fields(description, owner, path);
}

}  // namespace twintrack::external
