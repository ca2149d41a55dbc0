# SPDX-License-Identifier: BSD-3-Clause
"""Safety metrics from an audit and from failure rates that the user states."""
