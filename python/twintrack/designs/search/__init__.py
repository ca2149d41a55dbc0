# SPDX-License-Identifier: BSD-3-Clause
"""Designs whose later cases follow from what earlier ones gave: a search, rare events, double faults."""
