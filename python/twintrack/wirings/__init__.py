# SPDX-License-Identifier: BSD-3-Clause
"""What lies between the terminals and the pins, and its picture."""
