# SPDX-License-Identifier: BSD-3-Clause
"""What notebooks show of a bench: the block picture, tables, curves that zoom, sliders."""
