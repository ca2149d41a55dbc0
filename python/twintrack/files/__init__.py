# SPDX-License-Identifier: BSD-3-Clause
"""Files: study and part files read, results written, traces."""
