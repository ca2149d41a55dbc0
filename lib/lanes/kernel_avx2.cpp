// SPDX-License-Identifier: BSD-3-Clause
#include "kernel_of.hpp"

namespace twintrack::lanes {

Kernel avx2_kernel() { return KernelOf<Pack<4, 2>>::kernel("avx2"); }

}  // namespace twintrack::lanes
