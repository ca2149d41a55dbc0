# SPDX-License-Identifier: BSD-3-Clause
"""Searches in the unit cube: the least value, and the probability of a value below zero."""
