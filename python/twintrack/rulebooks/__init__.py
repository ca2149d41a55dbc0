# SPDX-License-Identifier: BSD-3-Clause
"""Written rules: sets, formulas as text, verdicts in a report."""
