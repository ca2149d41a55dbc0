// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/spice.hpp"

#include <iomanip>
#include <limits>
#include <locale>
#include <sstream>

#include "branches.hpp"

namespace twintrack::wiring {

namespace {

class Deck {
public:
    explicit Deck(const std::string& title) {
        text_.imbue(std::locale::classic());
        text_ << std::setprecision(std::numeric_limits<double>::max_digits10) << "* " << title << '\n';
    }

    void add(const Resistor& e) {
        // A simulator may put something of its own in place of zero ohms: an ideal joint is a source of zero volts.
        const bool joint = e.resistance == 0.0;
        comment(e.name);
        text_ << (joint ? 'V' : 'R') << ++count_ << ' ' << n(e.a) << ' ' << n(e.b) << ' ' << e.resistance << '\n';
    }

    void add(const VoltageSource& e) {
        comment(e.name);
        const int k = ++count_;
        const std::string inner = e.resistance == 0.0 ? n(e.minus) : "x" + std::to_string(k);
        text_ << 'V' << k << ' ' << n(e.plus) << ' ' << inner << ' ' << e.voltage << '\n';
        if (e.resistance > 0.0) text_ << 'R' << k << ' ' << inner << ' ' << n(e.minus) << ' ' << e.resistance << '\n';
    }

    void add(const CurrentSource& e) {
        comment(e.name);
        text_ << 'I' << ++count_ << ' ' << n(e.from) << ' ' << n(e.to) << ' ' << e.current << '\n';
    }

    /// A controlled voltage against `low`, whose current is then moved to `high` by its share.
    void add(const RatioSource& e) {
        comment(e.name);
        const int k = ++count_;
        text_ << 'E' << k << " x" << k << ' ' << n(e.low) << ' ' << n(e.high) << ' ' << n(e.low) << ' ' << e.ratio
              << "\nV" << k << " x" << k << " y" << k << " 0\n"
              << 'R' << k << " y" << k << ' ' << n(e.output) << ' '
              << series_resistance(e.resistance, e.track_resistance, e.ratio) << "\nF" << k << ' ' << n(e.high) << ' '
              << n(e.low) << " V" << k << ' ' << e.ratio << '\n';
    }

    void add(const Clamp& e) {
        comment(e.name);
        const std::string v = "v(" + n(e.anode) + "," + n(e.cathode) + ")";
        text_ << 'B' << ++count_ << ' ' << n(e.anode) << ' ' << n(e.cathode) << " I=" << v << "/" << e.off_resistance
              << "+max(" << v << "-" << e.drop << ",0)*" << 1.0 / e.on_resistance - 1.0 / e.off_resistance << '\n';
    }

    void add(const Regulator& e) {
        comment(e.name);
        std::ostringstream lack;
        lack.imbue(std::locale::classic());
        lack << std::setprecision(17) << "(" << e.voltage << "-v(" << n(e.output) << "," << n(e.ground) << "))";
        text_ << 'B' << ++count_ << ' ' << n(e.ground) << ' ' << n(e.output) << " I=" << lack.str() << "/"
              << e.limit_resistance << "+min(max(" << lack.str() << "," << -e.sink_limit * e.resistance << "),"
              << e.source_limit * e.resistance << ")*" << 1.0 / e.resistance - 1.0 / e.limit_resistance << '\n';
    }

    [[nodiscard]] std::string finish() { return text_.str() + ".end\n"; }

private:
    void comment(const std::string& name) { text_ << "* " << name << '\n'; }
    static std::string n(Node k) { return k == 0 ? "0" : "n" + std::to_string(k); }

    std::ostringstream text_;
    int count_ = 0;
};

}  // namespace

std::string to_spice(const Netlist& net, const std::string& title) {
    validate_net(net);
    Deck deck(title);
    for (const auto& e : net.resistors) deck.add(e);
    for (const auto& e : net.voltage_sources) deck.add(e);
    for (const auto& e : net.current_sources) deck.add(e);
    for (const auto& e : net.ratio_sources) deck.add(e);
    for (const auto& e : net.clamps) deck.add(e);
    for (const auto& e : net.regulators) deck.add(e);
    return deck.finish();
}

}  // namespace twintrack::wiring
