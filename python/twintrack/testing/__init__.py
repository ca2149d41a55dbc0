# SPDX-License-Identifier: BSD-3-Clause
"""A controller of one's own in a pytest suite; see README.md of this folder."""
