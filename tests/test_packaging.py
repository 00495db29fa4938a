"""What an installation brings along: every import declared, every constraint a version, every folder a package."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
CONSTRAINTS = (ROOT / ".ci" / "constraints.txt").read_text("utf-8").splitlines()
PACKAGES = ("pipeline", "checks", "app", "sample_lab")
# Used without an import: the time zones of machines that have none, and tools that are commands or plugins.
WITHOUT_IMPORT = {"tzdata", "import-linter", "mypy", "pytest-xdist", "ruff"}


def _declared(*texts: str) -> dict[str, Requirement]:
    requirements = [Requirement(text) for text in texts]
    return {canonicalize_name(requirement.name): requirement for requirement in requirements}


PINNED = {canonicalize_name(name): version for name, _, version in (line.partition("==") for line in CONSTRAINTS)}
PRODUCT = _declared(*PROJECT["dependencies"])
EXTRAS = {name: _declared(*texts) for name, texts in PROJECT["optional-dependencies"].items()}


def _imported(*folders: str) -> set[str]:
    """Distributions that the Python files of these folders import, those inside functions too."""
    modules: set[str] = set()
    for folder in folders:
        for file in (ROOT / folder).rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text("utf-8"))):
                if isinstance(node, ast.Import):
                    modules |= {alias.name.split(".")[0] for alias in node.names}
                elif isinstance(node, ast.ImportFrom):
                    modules.add(str(node.module).split(".")[0])
    ours = {*PACKAGES, "tests", "docs"}
    known = packages_distributions()
    return {canonicalize_name(known[module][0]) for module in modules - set(sys.stdlib_module_names) - ours}


def test_the_product_declares_what_it_imports() -> None:
    assert _imported(*PACKAGES) - PRODUCT.keys() == set()


def test_the_product_imports_what_it_declares() -> None:
    assert PRODUCT.keys() - _imported(*PACKAGES) - WITHOUT_IMPORT == set()


def test_the_tests_declare_what_they_import() -> None:
    assert _imported("tests", "docs") - PRODUCT.keys() - EXTRAS["test"].keys() == set()


def test_the_test_extra_holds_nothing_idle() -> None:
    assert EXTRAS["test"].keys() - _imported("tests", "docs") - WITHOUT_IMPORT == set()


def test_constraints_are_names_with_versions_and_nothing_else() -> None:
    assert all(re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*==[0-9][A-Za-z0-9.!+]*", line) for line in CONSTRAINTS)
    assert len(PINNED) == len(CONSTRAINTS)
    assert "barrierbook" not in PINNED


@pytest.mark.parametrize(
    "requirement", [one for group in (PRODUCT, *EXTRAS.values()) for one in group.values()], ids=str
)
def test_constraints_meet_every_requirement(requirement: Requirement) -> None:
    assert requirement.specifier.contains(Version(PINNED[canonicalize_name(requirement.name)]))


@pytest.mark.parametrize("package", PACKAGES)
def test_every_folder_with_code_is_a_package(package: str) -> None:
    # importlib.resources finds data files of packages; the pages are opened as files and their folder is none.
    folders = {file.parent for file in (ROOT / package).rglob("*.py")} - {ROOT / "app" / "dashboard" / "views"}
    assert [folder for folder in sorted(folders) if not (folder / "__init__.py").exists()] == []
