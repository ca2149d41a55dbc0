// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/lanes/run.hpp"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <thread>

#include "twintrack/core/error.hpp"
#include "worker.hpp"

namespace twintrack::lanes {

namespace {

std::vector<Kernel> kernels() {
    std::vector<Kernel> all{baseline_kernel()};
#ifdef TWINTRACK_LANES_X86
    __builtin_cpu_init();
    if (__builtin_cpu_supports("avx2")) all.push_back(avx2_kernel());
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl") &&
        __builtin_cpu_supports("avx512bw"))
        all.push_back(avx512_kernel());
#endif
    return all;
}

Kernel kernel_named(const std::string& name) {
    const std::vector<Kernel> all = kernels();
    if (name.empty()) return all.back();
    std::string list;
    for (const Kernel& k : all) {
        if (name == k.name) return k;
        list += (list.empty() ? "" : ", ") + std::string(k.name);
    }
    throw InvalidParameter("instruction_set", "there is no '" + name + "' here; there are: " + list);
}

#ifdef __EMSCRIPTEN__  // a page's worker is one thread
int threads_of(const Options&) { return 1; }

void work_out(std::vector<Worker>& workers, Work&, const bench::Interrupt&) { workers.front().run(); }
#else
int threads_of(const Options& o) {
    if (o.threads > 0) return o.threads;
    return static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
}

/// Runs the workers and calls `interrupt` meanwhile.
void work_out(std::vector<Worker>& workers, Work& work, const bench::Interrupt& interrupt) {
    std::mutex lock;
    std::condition_variable ended;
    std::size_t busy = workers.size();
    std::vector<std::jthread> threads;
    for (Worker& w : workers)
        threads.emplace_back([&] {
            w.run();
            const std::lock_guard hold(lock);
            --busy;
            ended.notify_one();
        });
    std::unique_lock hold(lock);
    while (busy > 0) {
        ended.wait_for(hold, std::chrono::milliseconds(50));
        hold.unlock();
        if (busy > 0 && interrupt && interrupt()) work.stop();
        hold.lock();
    }
}
#endif

}  // namespace

std::vector<std::string> instruction_sets() {
    std::vector<std::string> names;
    for (const Kernel& k : kernels()) names.emplace_back(k.name);
    return names;
}

bool run(std::size_t count, const Source& source, const Options& options, const Sink& sink,
         const bench::Interrupt& interrupt) {
    require(options.substep, substep_range, "substep", "s", "longest step of the body");
    require(options.threads, {0, 1024}, "threads", "", "threads");
    const Kernel kernel = kernel_named(options.instruction_set);
    Work work(count, source, sink);
    std::vector<Worker> workers;
    const std::size_t lanes = static_cast<std::size_t>(kernel.lanes);
    const std::size_t most = std::max<std::size_t>(1, (count + lanes - 1) / lanes);
    const std::size_t threads = std::min(most, static_cast<std::size_t>(threads_of(options)));
    workers.reserve(threads);
    for (std::size_t k = 0; k < threads; ++k) workers.emplace_back(kernel, options, work);
    work_out(workers, work, interrupt);
    work.rethrow();
    return !work.stopped();
}

std::vector<Result> run(const std::vector<Case>& cases, const Options& options) {
    std::vector<Result> results(cases.size());
    run(
        cases.size(), [&](std::size_t k) { return cases[k]; }, options,
        [&](Result&& r) {
            const std::size_t place = r.index;
            results[place] = std::move(r);
        });
    return results;
}

}  // namespace twintrack::lanes
