# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary of a diagnosis."""
