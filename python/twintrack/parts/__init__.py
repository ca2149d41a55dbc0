# SPDX-License-Identifier: BSD-3-Clause
"""Parts: the built-in pedals, throttle bodies and engines, and the user's own."""
