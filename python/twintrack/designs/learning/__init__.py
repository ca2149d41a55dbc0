# SPDX-License-Identifier: BSD-3-Clause
"""Range learns: what is stored, and learns that go wrong, run and reported."""
