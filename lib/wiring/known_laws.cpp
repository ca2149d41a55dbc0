// SPDX-License-Identifier: BSD-3-Clause
#include "known_laws.hpp"

#include <mutex>
#include <unordered_map>

#include "elements.hpp"

namespace twintrack::wiring {

namespace {

constexpr std::size_t most_laws = 2048;  // some 6 kB each

class Key {
public:
    template <class... Numbers>
    void add(Numbers... numbers) {
        (append(static_cast<double>(numbers)), ...);
    }
    void operator()(const Resistor& e) { add(e.a, e.b, e.resistance); }
    void operator()(const VoltageSource& e) { add(e.plus, e.minus, e.voltage, e.resistance); }
    void operator()(const CurrentSource& e) { add(e.from, e.to, e.current); }
    void operator()(const RatioSource& e) { add(e.output, e.low, e.high, e.resistance, e.track_resistance); }
    void operator()(const Clamp& e) { add(e.anode, e.cathode, e.drop, e.on_resistance, e.off_resistance); }
    void operator()(const Regulator& e) {
        add(e.output, e.ground, e.voltage, e.resistance, e.source_limit, e.sink_limit, e.limit_resistance);
    }
    void add_list(const std::vector<std::size_t>& list) {
        add(list.size());
        for (const std::size_t n : list) add(n);
    }
    std::string bytes;

private:
    void append(double number) { bytes.append(reinterpret_cast<const char*>(&number), sizeof number); }
};

struct Kept {
    std::mutex lock;
    std::unordered_map<std::string, Law> laws;
};

Kept& kept() {
    static Kept all;
    return all;
}

}  // namespace

std::string law_key(const Netlist& net, const Segments& segments, const std::vector<InputTargets>& inputs,
                    const std::vector<Probe>& probes) {
    Key key;
    key.add(net.nodes.size(), net.resistors.size(), net.voltage_sources.size(), net.current_sources.size(),
            net.ratio_sources.size(), net.clamps.size(), net.regulators.size(), inputs.size(), probes.size());
    for_each_element(net, key);
    for (const auto segment : segments) key.add(segment);
    for (const InputTargets& t : inputs)
        for (const auto* list : {&t.voltage_sources, &t.regulators, &t.current_sources}) key.add_list(*list);
    for (const Probe& p : probes) key.add(p.plus, p.minus);
    return std::move(key.bytes);
}

Law known_law(const std::string& key) {
    const std::lock_guard hold(kept().lock);
    const auto found = kept().laws.find(key);
    return found == kept().laws.end() ? nullptr : found->second;
}

void keep_law(const std::string& key, Law law) {
    const std::lock_guard hold(kept().lock);
    if (kept().laws.size() >= most_laws) kept().laws.clear();
    kept().laws.emplace(key, std::move(law));
}

}  // namespace twintrack::wiring
