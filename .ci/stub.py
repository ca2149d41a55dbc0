# SPDX-License-Identifier: BSD-3-Clause
"""Prints the type stub of the compiled module: pybind11-stubgen's, with the parameter structs made from their
field lists, one line a field. Type checkers make keyword-only constructors of these (PEP 681).

Usage: python stub.py STUBGEN_OUTPUT
"""

import ast
import math
import re
import sys

from twintrack import _core

BASE = '''
@typing.dataclass_transform(kw_only_default=True, frozen_default=True)
class _Parameters:
    """What every parameter object has."""

    @classmethod
    def from_dict(cls, values: dict[str, typing.Any]) -> typing.Self:
        """The inverse of `to_dict`; fields left out keep their default."""
    @staticmethod
    def fields() -> list[FieldInfo]:
        """Name, unit, kind, range, default and meaning of every field."""
    def __copy__(self) -> typing.Self: ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> typing.Self: ...
    def __eq__(self, other: object) -> bool: ...
    def __hash__(self) -> int: ...
    def replace(self, changes: dict[str, typing.Any] = ..., **more: typing.Any) -> typing.Self:
        """A changed copy; keys are field names or dotted paths such as "tracks[1].noise"."""
    def to_dict(self) -> dict[str, typing.Any]:
        """Nested plain values, by field name."""
'''
PLAIN = {
    "number": "float",
    "integer": "int",
    "flag": "bool",
    "text": "str",
    "optional number": "float | None",
}


def type_of(field: _core.FieldInfo) -> str:
    match field.kind:
        case "choice":
            return f"typing.Literal[{', '.join(map(repr, field.choices))}]"
        case "numbers":
            return "collections.abc.Sequence[float]"
        case "struct":
            return field.struct
        case "optional struct":
            return f"{field.struct} | None"
        case "list":
            return f"collections.abc.Sequence[{field.struct}]"
    return PLAIN[field.kind]


def span(field: _core.FieldInfo) -> str:
    limits = (field.least, field.most)
    return f"; {field.least:g} … {field.most:g}" if all(map(math.isfinite, limits)) else ""


def line(field: _core.FieldInfo) -> str:
    unit = f"[{field.unit}] " if field.unit else ""
    return f"    {field.name}: {type_of(field)} = ...  # {unit}{field.meaning}{span(field)}"


def parameter_class(node: ast.ClassDef, lines: list[str]) -> str:
    """Of a class of stubgen's text, its summary, its fields, and the members that do not follow from them."""
    cls = getattr(_core, node.name)
    summary = (ast.get_docstring(node) or "").splitlines()[0]
    known = {field.name for field in cls.fields()} | set(vars(_core.Joint)) - {
        f.name for f in _core.Joint.fields()
    }
    text = [f"class {node.name}(_Parameters):", f'    """{summary}"""', *map(line, cls.fields())]
    for member in node.body:
        if isinstance(member, ast.FunctionDef) and member.name not in known:
            first = min([member.lineno, *(decorator.lineno for decorator in member.decorator_list)])
            text += lines[first - 1 : member.end_lineno]
    return "\n".join(text)


class Arrays(ast.NodeTransformer):
    """Types as a user needs them: what is given may be any sequence or what NumPy makes an array of."""

    def __init__(self, sequence: str, array: str) -> None:
        self.names = {"list": sequence, "numpy.ndarray": array}

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:
        self.generic_visit(node)
        if ast.unparse(node.value) == "typing.Annotated" and isinstance(node.slice, ast.Tuple):
            return node.slice.elts[0]  # the length of a list is no type
        wanted = self.names.get(ast.unparse(node.value))
        if wanted == "numpy.typing.ArrayLike":
            return ast.parse(wanted, mode="eval").body
        if wanted:
            node.value = ast.parse(wanted, mode="eval").body
        return node


def with_arrays(source: str) -> str:
    given = Arrays("collections.abc.Sequence", "numpy.typing.ArrayLike")
    found = Arrays("list", "numpy.typing.NDArray")
    tree = ast.parse(source)
    # The list of all names says no more than the names themselves.
    tree.body = [node for node in tree.body if not ast.unparse(node).startswith("__all__")]
    for node in ast.walk(tree):
        if not isinstance(node, ast.FunctionDef):
            continue
        for argument in (*node.args.args, *node.args.kwonlyargs):
            if argument.annotation:
                argument.annotation = given.visit(argument.annotation)
        if node.returns:
            node.returns = found.visit(node.returns)
    text = re.sub(r"\n\n(?= )", "\n", ast.unparse(tree)).replace("import pybind11_stubgen.typing_ext\n", "")
    return text.replace("import numpy\n", "import collections.abc\nimport numpy\nimport numpy.typing\n", 1)


def main(path: str) -> None:
    with open(path, encoding="utf-8") as file:
        # A docstring of one line stands on one line.
        source = re.sub(r'(:\n +""")\n +([^\n"]{1,95})\n +"""', r'\1\2"""', with_arrays(file.read()))
    lines, out, done = source.splitlines(), [], 0
    for node in ast.parse(source).body:
        if isinstance(node, ast.ClassDef) and hasattr(getattr(_core, node.name), "fields"):
            out += lines[done : node.lineno - 1] + parameter_class(node, lines).splitlines()
            done = node.end_lineno or 0
    text = "\n".join(out + lines[done:]) + "\n"
    text = text.replace("ClassVar[None] = None", "ClassVar[None]  # type: ignore[assignment]")
    print(text.replace("\nclass FieldInfo:", f"{BASE}\nclass FieldInfo:", 1), end="")


if __name__ == "__main__":
    main(sys.argv[1])
