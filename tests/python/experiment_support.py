# SPDX-License-Identifier: BSD-3-Clause
"""What the tests of campaigns share."""

import pandas as pd


def same(a, b):
    """Both hold the same cases, to the bit."""
    pd.testing.assert_frame_equal(a.to_pandas(), b.to_pandas(), check_exact=True)
