# SPDX-License-Identifier: BSD-3-Clause
"""Work spread over processes."""

from twintrack.pool import Pool


def test_pool_keeps_the_order():
    assert Pool(2, False).map("", lambda i: {"i": i}, 5) == [{"i": i} for i in range(5)]
