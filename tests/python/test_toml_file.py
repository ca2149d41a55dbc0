# SPDX-License-Identifier: BSD-3-Clause
"""Lines of keys in TOML files, and what is said about files that cannot be read."""

import os

import pytest

from twintrack.errors import InputError
from twintrack.files import toml_file

TEXT = '''title = "a [bracket] # and a hash"
list = [
  1,
  # [not.a.table]
  2,
]
text = """
fake = 1
"""
after = 1

[one.two]   # comment
"quoted key" = 1
dotted.key = 2

[[tracks]]
bow = 1
[[tracks]]
bow = 2
[tracks.inner]
x = 3
'''


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(TEXT)
    return toml_file.read(path)


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (("title",), 1),
        (("list",), 2),
        (("list", 1), 2),
        (("text",), 7),
        (("after",), 10),
        (("one", "two"), 12),
        (("one", "two", "quoted key"), 13),
        (("one", "two", "dotted", "key"), 14),
        (("tracks", 0, "bow"), 17),
        (("tracks", 1, "bow"), 19),
        (("tracks", 1, "inner", "x"), 21),
        (("tracks", 1, "absent"), 18),
        (("nowhere",), None),
    ],
)
def test_lines(file, place, line):
    assert file.line(place) == line


def test_message_has_file_line_key_and_value(file):
    with pytest.raises(InputError) as caught:
        file.fail(("tracks", 1, "bow"), "too large", 2)
    assert str(caught.value) == f"{file.path}, line 19: tracks[2].bow = 2: too large"


def test_places_round_trip():
    place = ("tracks", 1, "inner", "x")
    assert toml_file.place_of(toml_file.dotted(place)) == place


def test_missing_file(tmp_path):
    with pytest.raises(InputError, match=r"nothing\.toml: cannot be read: No such file"):
        toml_file.read(tmp_path / "nothing.toml")


def test_folder_instead_of_file(tmp_path):
    with pytest.raises(InputError, match="cannot be read: Is a directory"):
        toml_file.read(tmp_path)


def test_unreadable_file(tmp_path, monkeypatch):
    path = tmp_path / "secret.toml"
    path.write_text("x = 1")
    path.chmod(0)
    if os.access(path, os.R_OK):  # the superuser reads everything: let the system call say no instead

        def refuse(*_args, **_kwargs):
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(InputError, match=r"secret\.toml: cannot be read: Permission denied"):
        toml_file.read(path)


def test_not_text(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"x = \xff\xfe")
    with pytest.raises(InputError, match="not a text file in UTF-8"):
        toml_file.read(path)


def test_not_toml(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text("a = 1\nb = = 2\n")
    with pytest.raises(InputError, match=r"not valid TOML: .*line 2"):
        toml_file.read(path)
