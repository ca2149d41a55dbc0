# SPDX-License-Identifier: BSD-3-Clause
"""Study files: benches, scenarios, mistakes and set-ups as a file states them."""
