# SPDX-License-Identifier: BSD-3-Clause
"""Engine speed behind the throttle: tables, maps and pages."""
