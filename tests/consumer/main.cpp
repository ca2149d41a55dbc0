// SPDX-License-Identifier: BSD-3-Clause
#include <iostream>
#include <twintrack/core/error.hpp>
#include <twintrack/core/record.hpp>
#include <twintrack/plant/throttle_body.hpp>

// Links against the library from another project: one call into it, one exception across the border.
int main() {
    twintrack::Record record(std::vector<twintrack::Signal>{{"blade.angle", "rad"}});
    const double row[] = {0.1};
    record.append({}, row);
    twintrack::plant::MotorParameters motor;
    motor.resistance = -1.0;
    try {
        twintrack::validate(motor);
    } catch (const twintrack::InvalidParameter& error) {
        std::cout << error.what() << "\n";
        return record.size() == 1 ? 0 : 1;
    }
    return 1;
}
