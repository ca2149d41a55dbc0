// SPDX-License-Identifier: BSD-3-Clause
#include "kernel_of.hpp"

namespace twintrack::lanes {

Kernel avx512_kernel() { return KernelOf<Pack<8, 2>>::kernel("avx512"); }

}  // namespace twintrack::lanes
