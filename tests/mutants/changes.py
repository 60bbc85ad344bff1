"""The small changes that a file can suffer, one at a time."""

from __future__ import annotations

import ast
from typing import Any, NamedTuple

COMPARED = {
    ast.Lt: [ast.LtE, ast.GtE],
    ast.LtE: [ast.Lt, ast.Gt],
    ast.Gt: [ast.GtE, ast.LtE],
    ast.GtE: [ast.Gt, ast.Lt],
    ast.Eq: [ast.NotEq],
    ast.NotEq: [ast.Eq],
    ast.In: [ast.NotIn],
    ast.NotIn: [ast.In],
    ast.Is: [ast.IsNot],
    ast.IsNot: [ast.Is],
}
COMPUTED = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.Pow: ast.Mult,
}
CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor", "floor": "ceil"}


class Change(NamedTuple):
    """One change of a file.

    Parameters
    ----------
    line, column : int
        Its place.
    last_line : int
        The last line of what is changed.
    what : str
        What it says.
    tree : ast.Module
        The changed file.
    within : str
        The outermost function in whose body it is, with its class; blank if it is in none.
    """

    line: int
    column: int
    last_line: int
    what: str
    tree: ast.Module
    within: str


class Place(NamedTuple):
    """What of a file can be changed: the number of the node, and which of its changes it is."""

    node: int
    version: int


def places(source: str) -> list[Place]:
    """Return every change that a file can suffer."""
    nodes = _nodes(_tree(source))
    return [
        Place(number, version)
        for number, node in enumerate(nodes)
        for version in range(_versions(node))
    ]


def changed(source: str, place: Place) -> Change:
    """Return a file's change at a place."""
    tree = _tree(source)
    node = _nodes(tree)[place.node]
    before = ast.unparse(node)
    seen = node.test if isinstance(node, ast.If | ast.IfExp | ast.While) else node
    line, column, last = node.lineno, node.col_offset, seen.end_lineno or seen.lineno
    within = _function_around(tree, node)
    replacement = _changed(node, place.version)
    after = ast.unparse(replacement)
    if replacement is not node:
        ast.copy_location(replacement, node)
        _put(tree, node, replacement)
    what = f"{_short(before)} -> {_short(after)}"
    return Change(line, column, last, what, ast.fix_missing_locations(tree), within)


def _function_around(tree: ast.Module | ast.ClassDef, node: ast.AST) -> str:
    for one in tree.body:
        if isinstance(one, ast.ClassDef) and (name := _function_around(one, node)):
            return f"{one.name}.{name}"
        if isinstance(one, ast.FunctionDef):
            for statement in one.body:
                if any(within is node for within in ast.walk(statement)):
                    return one.name
    return ""


def _tree(source: str) -> ast.Module:
    tree = ast.parse(source)
    _without_notes(tree)
    return tree


def _nodes(tree: ast.Module) -> list[Any]:
    return [node for node in ast.walk(tree) if hasattr(node, "lineno")]


def _without_notes(tree: ast.Module) -> None:
    """Take out docstrings, annotations, and what is imported for these: no test looks at them."""
    tree.body = [one for one in tree.body if not _is_for_annotations(one)]
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.Module):
            first = node.body[0] if node.body else None
            noted = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
            if noted and not isinstance(node, ast.Module):
                node.body[0] = ast.copy_location(ast.Pass(), first)
        if isinstance(node, ast.FunctionDef):
            node.returns = None
            for arg in [*node.args.args, *node.args.kwonlyargs, *node.args.posonlyargs]:
                arg.annotation = None
        if isinstance(node, ast.AnnAssign):
            node.annotation = ast.copy_location(ast.Name("Any", ast.Load()), node.annotation)


def _is_for_annotations(node: ast.stmt) -> bool:
    test = node.test if isinstance(node, ast.If) else None
    return isinstance(test, ast.Name) and test.id == "TYPE_CHECKING"


def _versions(node: ast.AST) -> int:
    """Return how many changes a node can suffer."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        return len(COMPARED.get(type(node.ops[0]), []))
    if isinstance(node, ast.BinOp):
        return int(type(node.op) in COMPUTED and not _is_text(node))
    if isinstance(node, ast.BoolOp):
        return 1
    if isinstance(node, ast.UnaryOp):
        return int(isinstance(node.op, ast.Not | ast.USub))
    if isinstance(node, ast.Constant):
        return int(isinstance(node.value, bool | int | float))
    if isinstance(node, ast.If | ast.IfExp | ast.While):
        return 1
    if isinstance(node, ast.Return):
        return int(node.value is not None and not _is_none(node.value))
    if isinstance(node, ast.Call):
        return int(isinstance(node.func, ast.Name) and node.func.id in CALLED)
    if isinstance(node, ast.AugAssign):
        return int(type(node.op) in COMPUTED)
    if isinstance(node, ast.Continue | ast.Break):
        return 1
    return 0


def _is_text(node: ast.BinOp) -> bool:
    sides = (node.left, node.right)
    return any(isinstance(one, ast.JoinedStr) for one in sides) or any(
        isinstance(one, ast.Constant) and isinstance(one.value, str) for one in sides
    )


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _changed(node: ast.AST, version: int) -> ast.AST:
    """Change a node in place, or return what takes its place."""
    if isinstance(node, ast.Compare):
        node.ops[0] = COMPARED[type(node.ops[0])][version]()
    elif isinstance(node, ast.BinOp | ast.AugAssign):
        node.op = COMPUTED[type(node.op)]()
    elif isinstance(node, ast.BoolOp):
        node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    elif isinstance(node, ast.UnaryOp):
        return node.operand
    elif isinstance(node, ast.Constant):
        node.value = (not node.value) if isinstance(node.value, bool) else node.value + 1
    elif isinstance(node, ast.If | ast.IfExp | ast.While):
        if isinstance(node, ast.While):
            node.test = ast.Constant(value=False)
        else:
            node.test = ast.UnaryOp(ast.Not(), node.test)
    elif isinstance(node, ast.Return):
        node.value = ast.Constant(value=None)
    elif isinstance(node, ast.Call):
        node.func.id = CALLED[node.func.id]
    elif isinstance(node, ast.Continue):
        return ast.Break()
    elif isinstance(node, ast.Break):
        return ast.Continue()
    return node


def _put(tree: ast.Module, old: ast.AST, new: ast.AST) -> None:
    """Put a node into another one's place."""
    for node in ast.walk(tree):
        for name, value in ast.iter_fields(node):
            if value is old:
                setattr(node, name, new)
            elif isinstance(value, list) and any(one is old for one in value):
                value[[one is old for one in value].index(True)] = new


def _short(text: str) -> str:
    return " ".join(text.split())[:60]
