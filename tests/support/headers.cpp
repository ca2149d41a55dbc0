// SPDX-License-Identifier: BSD-3-Clause
// Nothing but the headers that the build precompiles for all tests.
