# SPDX-License-Identifier: BSD-3-Clause
"""Which pedal drives which body: a study run and reported."""
