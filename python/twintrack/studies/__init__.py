# SPDX-License-Identifier: BSD-3-Clause
"""Study files: benches, scenarios, disturbed learns and set-ups as a file states them."""
