# SPDX-License-Identifier: BSD-3-Clause
"""One experiment: a study and a design make cases; they are run, stored, resumed, replayed and reported."""
