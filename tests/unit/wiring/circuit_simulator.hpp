// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <gtest/gtest.h>
#include <cmath>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "twintrack/wiring/solver.hpp"
#include "twintrack/wiring/spice.hpp"

/// Runs ngspice, a general-purpose circuit simulator, beside our solver: all nets in one process.
namespace twintrack::test {

struct NamedNet {
    std::string name;
    wiring::Netlist net;
};

class CircuitSimulator {
public:
    CircuitSimulator()
        : folder_(std::filesystem::temp_directory_path() /
                  ("twintrack-nets-" + std::to_string(reinterpret_cast<std::uintptr_t>(this)) + "-" +
                   ::testing::UnitTest::GetInstance()->current_test_info()->name())) {
        std::filesystem::create_directories(folder_);
    }
    ~CircuitSimulator() { std::filesystem::remove_all(folder_); }
    CircuitSimulator(const CircuitSimulator&) = delete;
    CircuitSimulator& operator=(const CircuitSimulator&) = delete;

    static bool installed() { return std::system("ngspice --version > /dev/null 2>&1") == 0; }

    /// Node voltages of every net; an empty list where the simulator found none. Where `start` has voltages for a net,
    /// the simulator's iteration begins there.
    std::vector<std::vector<double>> voltages(const std::vector<NamedNet>& nets,
                                              const std::vector<std::vector<double>>& start = {}) {
        std::ofstream run(folder_ / "run.sp");
        run << "* operating points\n.control\nset filetype=ascii\n";
        for (std::size_t k = 0; k < nets.size(); ++k) {
            std::string deck = wiring::to_spice(nets[k].net, nets[k].name);
            if (k < start.size()) deck.insert(deck.rfind(".end"), nodeset(start[k]));
            std::ofstream(file(k, "cir")) << deck;
            // Its default pivot threshold of 1e-3 loses ten digits on some of these nets.
            run << "source " << file(k, "cir").string()
                << "\noption reltol=1e-9 abstol=1e-12 vntol=1e-9 pivrel=0.1\nop\nwrite " << file(k, "raw").string()
                << "\ndestroy all\nremcirc\n";
        }
        run << "quit\n.endc\n.end\n";
        run.close();
        const std::string log = (folder_ / "log").string();
        EXPECT_EQ(std::system(("ngspice -b " + (folder_ / "run.sp").string() + " > " + log + " 2>&1").c_str()), 0);
        std::vector<std::vector<double>> all;
        for (std::size_t k = 0; k < nets.size(); ++k) all.push_back(read(file(k, "raw"), nets[k].net.nodes.size()));
        return all;
    }

private:
    [[nodiscard]] std::filesystem::path file(std::size_t k, const char* ending) const {
        return folder_ / ("net" + std::to_string(k) + "." + ending);
    }

    static std::string nodeset(const std::vector<double>& volts) {
        std::ostringstream lines;
        lines.precision(17);
        for (std::size_t n = 1; n < volts.size(); ++n) lines << ".nodeset v(n" << n << ")=" << volts[n] << '\n';
        return lines.str();
    }

    /// An ASCII raw file of one operating point: "index name kind" lines, then the values in that order.
    static std::vector<double> read(const std::filesystem::path& path, std::size_t nodes) {
        std::ifstream in(path);
        std::vector<std::string> names;
        std::string line;
        while (std::getline(in, line) && line != "Variables:") {
        }
        while (std::getline(in, line) && line != "Values:") {
            std::istringstream words(line);
            std::string index, name;
            words >> index >> name;
            names.push_back(name);
        }
        std::vector<double> volts(nodes, 0.0);
        std::string point;
        in >> point;
        for (const std::string& name : names) {
            double value = 0.0;
            if (!(in >> value)) return {};
            if (name.rfind("v(n", 0) == 0) volts.at(std::stoul(name.substr(3))) = value;
        }
        return names.empty() ? std::vector<double>{} : volts;
    }

    std::filesystem::path folder_;
};

/// Every node of every net within 1 µV or 1e-6 of what the simulator finds. From a cold start its iteration runs in
/// circles on some nets with several piecewise-linear elements; those it must confirm from a start at our answer.
/// Returns how many needed that.
inline std::size_t expect_same_voltages(const std::vector<NamedNet>& nets) {
    if (!CircuitSimulator::installed()) {
        ADD_FAILURE() << "this test runs ngspice beside the solver: install the package ngspice";
        return nets.size();
    }
    CircuitSimulator simulator;
    auto outside = simulator.voltages(nets);
    std::vector<NamedNet> again;
    std::vector<std::vector<double>> start;
    std::vector<std::size_t> where;
    for (std::size_t k = 0; k < nets.size(); ++k) {
        if (!outside[k].empty()) continue;
        where.push_back(k);
        again.push_back(nets[k]);
        start.push_back(wiring::solve(nets[k].net).voltages);
    }
    const auto second = CircuitSimulator().voltages(again, start);
    for (std::size_t i = 0; i < where.size(); ++i) outside[where[i]] = second[i];
    for (std::size_t k = 0; k < nets.size(); ++k) {
        const wiring::Solution s = wiring::solve(nets[k].net);
        EXPECT_TRUE(s.ok()) << nets[k].name << ": " << s.sentence();
        EXPECT_EQ(outside[k].size(), s.voltages.size()) << "no answer of the simulator for " << nets[k].name;
        for (std::size_t n = 0; n < std::min(s.voltages.size(), outside[k].size()); ++n)
            EXPECT_NEAR(s.voltages[n], outside[k][n], std::max(1e-6, 1e-6 * std::fabs(outside[k][n])))
                << nets[k].name << ", node " << nets[k].net.nodes[n];
    }
    return where.size();
}

}  // namespace twintrack::test
