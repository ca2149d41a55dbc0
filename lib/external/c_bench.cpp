// SPDX-License-Identifier: BSD-3-Clause
// The functions of twintrack/c/bench.h.
#include "twintrack/c/bench.h"

#include <algorithm>
#include <cstring>
#include <exception>
#include <unordered_map>

#include "twintrack/core/error.hpp"
#include "twintrack/external/model.hpp"

using twintrack::Kind;
using twintrack::external::Model;
using twintrack::external::Role;
using twintrack::external::Variable;

struct twintrack_bench {
    std::unique_ptr<Model> model;
    std::unordered_map<std::string, int> numbers;
    std::string error;

    explicit twintrack_bench(std::unique_ptr<Model> m) : model(std::move(m)) {
        for (const Variable& v : model->variables()) numbers.emplace(v.name, static_cast<int>(numbers.size()));
    }
};

struct twintrack_saved {
    std::shared_ptr<const Model::Saved> state;
};

namespace {

/// Does it, and turns what is thrown into the bench's error.
template <class Work>
int attempt(twintrack_bench* bench, Work&& work) noexcept {
    if (!bench) return 1;
    try {
        work();
        return 0;
    } catch (const std::exception& e) {
        bench->error = e.what();
    } catch (...) {
        bench->error = "unknown trouble";
    }
    return 1;
}

const Variable& variable(const twintrack_bench& bench, std::size_t index) {
    if (index >= bench.model->variables().size())
        throw twintrack::InvalidParameter("variable", "there is no number " + std::to_string(index));
    return bench.model->variables()[index];
}

std::uint32_t kind_of(Kind kind) {
    switch (kind) {
        case Kind::integer:
            return TWINTRACK_INTEGER;
        case Kind::flag:
            return TWINTRACK_FLAG;
        case Kind::text:
            return TWINTRACK_TEXT;
        case Kind::choice:
            return TWINTRACK_CHOICE;
        default:
            return TWINTRACK_NUMBER;
    }
}

std::string given(const char* text) { return text ? text : ""; }

twintrack::fault::Fault fault_of(const twintrack_fault& from) {
    twintrack_fault f{};
    std::memcpy(&f, &from, std::min<std::size_t>(from.size, sizeof f));
    return {.where = given(f.where),
            .what = given(f.what),
            .from = twintrack::from_seconds(f.start),
            .to = f.end != 0.0 ? std::optional(twintrack::from_seconds(f.end)) : std::nullopt,
            .amount = f.amount,
            .ramp = twintrack::from_seconds(f.ramp),
            .with = given(f.other)};
}

}  // namespace

extern "C" {

uint32_t twintrack_bench_version(void) { return TWINTRACK_BENCH_VERSION; }

twintrack_bench* twintrack_bench_new(const char* json, char* error, size_t size) {
    std::string why;
    try {
        return new twintrack_bench(Model::make(twintrack::external::read_document(given(json))));
    } catch (const std::exception& e) {
        why = e.what();
    } catch (...) {
        why = "unknown trouble";
    }
    if (error && size > 0) {
        const std::size_t length = std::min(why.size(), size - 1);
        std::memcpy(error, why.data(), length);
        error[length] = '\0';
    }
    return nullptr;
}

void twintrack_bench_delete(twintrack_bench* bench) { delete bench; }

const char* twintrack_bench_error(const twintrack_bench* bench) { return bench ? bench->error.c_str() : "no bench"; }

size_t twintrack_bench_count(const twintrack_bench* bench) { return bench->model->variables().size(); }

int twintrack_bench_find(const twintrack_bench* bench, const char* name) {
    const auto found = bench->numbers.find(given(name));
    return found == bench->numbers.end() ? -1 : found->second;
}

int twintrack_bench_variable(twintrack_bench* bench, size_t index, twintrack_variable* out) {
    return attempt(bench, [&] {
        const Variable& v = variable(*bench, index);
        const twintrack_variable all{out->size,
                                     kind_of(v.kind),
                                     static_cast<std::uint32_t>(v.role),
                                     static_cast<std::uint32_t>(v.choices.size()),
                                     v.name.c_str(),
                                     v.unit.c_str(),
                                     v.meaning.c_str(),
                                     v.range.least,
                                     v.range.most};
        std::memcpy(out, &all, std::min<std::size_t>(out->size, sizeof all));
    });
}

const char* twintrack_bench_choice(const twintrack_bench* bench, size_t index, size_t choice) {
    const auto& all = bench->model->variables();
    return index < all.size() && choice < all[index].choices.size() ? all[index].choices[choice] : nullptr;
}

int twintrack_bench_get(twintrack_bench* bench, size_t index, double* value) {
    return attempt(bench, [&] { *value = bench->model->number(index); });
}

int twintrack_bench_set(twintrack_bench* bench, size_t index, double value) {
    return attempt(bench, [&] { bench->model->set(index, value); });
}

const char* twintrack_bench_text(twintrack_bench* bench, size_t index) {
    const char* text = nullptr;
    attempt(bench, [&] { text = bench->model->text(index).c_str(); });
    return text;
}

int twintrack_bench_set_text(twintrack_bench* bench, size_t index, const char* value) {
    return attempt(bench, [&] { bench->model->set_text(index, given(value)); });
}

int twintrack_bench_start(twintrack_bench* bench) {
    return attempt(bench, [&] { bench->model->start(); });
}

int twintrack_bench_step(twintrack_bench* bench, size_t ticks) {
    return attempt(bench, [&] {
        Model& m = *bench->model;
        for (size_t i = 0; i < ticks; ++i) m.advance(m.time() + m.period());
    });
}

double twintrack_bench_time(const twintrack_bench* bench) { return twintrack::seconds(bench->model->time()); }

double twintrack_bench_period(const twintrack_bench* bench) { return twintrack::seconds(bench->model->period()); }

int twintrack_bench_inject(twintrack_bench* bench, const twintrack_fault* fault) {
    return attempt(bench, [&] { bench->model->inject(fault_of(*fault)); });
}

int twintrack_bench_remove(twintrack_bench* bench, const char* where, const char* what) {
    return attempt(bench, [&] { bench->model->remove(given(where), given(what)); });
}

twintrack_saved* twintrack_bench_save(twintrack_bench* bench) {
    twintrack_saved* saved = nullptr;
    attempt(bench, [&] { saved = new twintrack_saved{bench->model->save()}; });
    return saved;
}

int twintrack_bench_restore(twintrack_bench* bench, const twintrack_saved* saved) {
    return attempt(bench, [&] { bench->model->restore(*saved->state); });
}

void twintrack_saved_delete(twintrack_saved* saved) { delete saved; }

twintrack_bench* twintrack_bench_fork(twintrack_bench* bench) {
    twintrack_bench* other = nullptr;
    attempt(bench, [&] {
        auto made = std::make_unique<twintrack_bench>(Model::make(bench->model->document()));
        made->model->restore(*bench->model->save());
        other = made.release();
    });
    return other;
}

}  // extern "C"
