// SPDX-License-Identifier: BSD-3-Clause
#include "kernel_of.hpp"

namespace twintrack::lanes {

Kernel baseline_kernel() { return KernelOf<Pack<2, 4>>::kernel("baseline"); }

}  // namespace twintrack::lanes
