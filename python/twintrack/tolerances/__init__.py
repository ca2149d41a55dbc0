# SPDX-License-Identifier: BSD-3-Clause
"""Parameters that scatter: which, how, and what is drawn for each case."""
