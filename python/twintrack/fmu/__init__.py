# SPDX-License-Identifier: BSD-3-Clause
"""Functional mock-up units: a bench, a plant or the built-in controller for other simulation programs."""
