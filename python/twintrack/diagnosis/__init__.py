# SPDX-License-Identifier: BSD-3-Clause
"""From a symptom to its cause, and what to measure next (README.md of this folder)."""
