# SPDX-License-Identifier: BSD-3-Clause
"""The wire plan of a pair: what to wire, what to measure before key-on (README.md of this
folder)."""
