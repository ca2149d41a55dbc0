# SPDX-License-Identifier: BSD-3-Clause
"""Campaigns: many cases of a study whose parameters scatter, and what follows from them."""
