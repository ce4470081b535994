"""Rules of docstrings: every public name says what it computes, from what, in which unit."""

import ast
import dataclasses
import enum
import importlib
import inspect
import pkgutil
import re
import textwrap
from collections.abc import Iterator
from types import BuiltinFunctionType, FunctionType, ModuleType
from typing import Any

NUMERIC = re.compile(r"\b(float|int|complex|floating|ArrayLike|NDArray|ndarray)\b")
MARK = re.compile(r"\[[^\]]+\]|\bdimensionless\b", re.IGNORECASE)
SIGNATURE = re.compile(r"^\s*\w*\(.*\)( -> .*)?$")


def public_modules(package: ModuleType) -> list[ModuleType]:
    """The package and its modules whose dotted names hold no leading underscore."""
    found = [package]
    for info in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        if not any(part.startswith("_") for part in info.name.split(".")):
            found.append(importlib.import_module(info.name))
    return found


def public_objects(package: ModuleType) -> dict[str, Any]:
    """Classes and functions that a module's ``__all__`` hands on, by their first public name."""
    found: dict[int, tuple[str, Any]] = {}
    for module in public_modules(package):
        for name in getattr(module, "__all__", ()):
            thing = getattr(module, name)
            if inspect.isclass(thing) or isinstance(thing, FunctionType | BuiltinFunctionType):
                found.setdefault(id(thing), (f"{module.__name__}.{name}", thing))
    return dict(found.values())


def sections(doc: str) -> dict[str, list[str]]:
    """Lines under each underlined heading; the text before the first one is under ''."""
    lines = inspect.cleandoc(doc).splitlines()
    found: dict[str, list[str]] = {"": []}
    heading = ""
    for number, line in enumerate(lines):
        below = lines[number + 1] if number + 1 < len(lines) else ""
        if line.strip() and re.fullmatch(r"-{3,}\s*", below):
            heading = line.strip()
            found[heading] = []
        elif not (re.fullmatch(r"-{3,}\s*", line) and not found[heading]):
            found[heading].append(line)
    return found


def entries(lines: list[str]) -> dict[str, str]:
    """Description of each name in a section such as Parameters."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in lines:
        if line.strip() and not line[0].isspace():
            names = [n.strip().lstrip("*") for n in line.split(":")[0].split(",")]
            found.update(dict.fromkeys(names, ""))
        else:
            found.update({name: found[name] + line.strip() + " " for name in names})
    return found


def annotation_text(annotation: Any) -> str:
    """An annotation as it was typed, whether it is a string or an object."""
    if annotation in (inspect.Parameter.empty, None, type(None)):
        return ""
    return annotation.__name__ if isinstance(annotation, type) else str(annotation)


def raises(function: FunctionType) -> bool:
    """Whether the function's own text raises something new."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    return any(isinstance(node, ast.Raise) and node.exc for node in ast.walk(tree))


def described(where: str, wanted: dict[str, str], said: dict[str, str]) -> Iterator[str]:
    """Complaints about names (with their annotations) against their descriptions."""
    for name, annotation in wanted.items():
        if not said.get(name, "").strip():
            yield f"{where}: `{name}` is not described"
        elif NUMERIC.search(annotation) and not MARK.search(said[name]):
            yield f"{where}: `{name}` has neither a [unit] nor the word dimensionless"


def of_function(where: str, function: FunctionType, method: bool = False) -> Iterator[str]:
    """Complaints about a function or method."""
    if not function.__doc__:
        yield f"{where}: has no docstring"
        return
    found = sections(function.__doc__)
    signature = inspect.signature(function)
    parameters = list(signature.parameters.values())[1 if method else 0 :]
    wanted = {p.name: annotation_text(p.annotation) for p in parameters if p.name[0] != "_"}
    said = entries(found.get("Parameters", []))
    yield from described(where, wanted, said)
    yield from (
        f"{where}: describes `{n}`, which it does not take" for n in said if n not in wanted
    )
    returned = annotation_text(signature.return_annotation)
    if returned not in ("", "None", "NoReturn", "Never"):
        text = " ".join(found.get("Returns", found.get("Yields", [])))
        if not text:
            yield f"{where}: returns {returned} but has no Returns section"
        elif NUMERIC.search(returned) and not MARK.search(text):
            yield f"{where}: Returns has neither a [unit] nor the word dimensionless"
    if raises(function) and "Raises" not in found:
        yield f"{where}: raises but has no Raises section"


def fields(cls: type) -> dict[str, str]:
    """What a class is made from, with annotations."""
    if dataclasses.is_dataclass(cls):
        made = [f for f in dataclasses.fields(cls) if f.init]
        return {f.name: annotation_text(f.type) for f in made if f.name[0] != "_"}
    model = getattr(cls, "model_fields", None)
    if isinstance(model, dict):
        return {n: annotation_text(f.annotation) for n, f in model.items() if not f.description}
    if isinstance(vars(cls).get("__init__"), FunctionType) and not issubclass(cls, BaseException):
        parameters = list(inspect.signature(cls.__init__).parameters.values())[1:]
        return {p.name: annotation_text(p.annotation) for p in parameters if p.name[0] != "_"}
    return {}


def own_doc(thing: Any) -> str:
    """The docstring without the signature lines that a binding writes by itself."""
    lines = (vars(thing).get("__doc__") if isinstance(thing, type) else thing.__doc__) or ""
    return "\n".join(s for s in lines.splitlines() if not SIGNATURE.match(s)).strip()


def returned_by(member: property) -> str:
    """Annotation of a property's value; one from a binding has it in its signature line."""
    annotations = getattr(member.fget, "__annotations__", {})
    bound = re.search(r"-> (.*)$", member.fget.__doc__ or "", re.MULTILINE)
    return annotation_text(annotations.get("return")) or (bound[1] if bound else "")


def of_class(where: str, cls: type) -> Iterator[str]:
    """Complaints about a class, its properties and its methods."""
    text = own_doc(cls)
    if not text:
        yield f"{where}: has no docstring"
        return
    if issubclass(cls, enum.Enum):
        return
    said: dict[str, str] = {}
    # What a class of this package hands on is described where it stands.
    for one in reversed([c for c in cls.__mro__ if c is cls or "airchain" in c.__module__]):
        found = sections(own_doc(one))
        for heading in ("Parameters", "Attributes", "Methods"):
            said |= entries(found.get(heading, []))
    yield from described(where, fields(cls), said)
    for name, member in vars(cls).items():
        inside = f"{where}.{name}"
        if name.startswith("_"):
            continue
        if isinstance(member, property):
            words = own_doc(member) or said.get(name, "")
            yield from described(where, {name: returned_by(member)}, {name: words})
        elif isinstance(member, FunctionType):
            yield from of_function(inside, member, method=True)
        elif isinstance(member, classmethod):
            yield from of_function(inside, member.__func__, method=True)
        elif isinstance(member, staticmethod):
            yield from of_function(inside, member.__func__)
        elif callable(member) and not isinstance(member, type):
            yield from described(where, {name: ""}, {name: own_doc(member) or said.get(name, "")})


def complaints(where: str, thing: Any) -> list[str]:
    """Complaints about any public object."""
    if inspect.isclass(thing):
        return list(of_class(where, thing))
    if isinstance(thing, FunctionType):
        return list(of_function(where, thing))
    return [] if own_doc(thing) else [f"{where}: has no docstring"]
