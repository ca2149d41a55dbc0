# SPDX-License-Identifier: BSD-3-Clause
"""Pages and pictures that several reports share."""
