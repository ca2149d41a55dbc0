# SPDX-License-Identifier: BSD-3-Clause
"""Every single fault of a pair under several monitors: run, judged and reported."""
