# SPDX-License-Identifier: BSD-3-Clause
"""The lab page: a bench to play with in the browser (README.md of this folder)."""
