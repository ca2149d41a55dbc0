# SPDX-License-Identifier: BSD-3-Clause
"""Numbers of a safety case, from an audit and from failure rates that the user states."""
