"""Every number of docs/numerics.md, and of the tables in docs/method.md, is the one that the code or a test has.

A row's last cell says where: `tolerances::name`, `file`: `CONSTANT`, or `file`: "name of a test". Each number of the
row's other cells but the first must be that constant, or stand in a check of that test.
"""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOLERANCES = ROOT / "cpp/include/shimwise/tolerances.hpp"
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:'\d+)*(?:\.\d+)?(?:e[-+]?\d+)?(?![\w.])")
SAME_BITS = "same bits"

Row = tuple[str, ...]


def rows_of(page: str) -> list[Row]:
    """Rows of the tables whose last column is called "asserted by", as (kind of column two, cells..)."""
    rows: list[Row] = []
    head: Row | None = None
    for line in page.splitlines():
        cells = tuple(cell.strip() for cell in line.strip().strip("|").split("|")) if line.startswith("|") else ()
        if not cells:
            head = None
        elif head is None:
            head = cells
        elif head[-1] == "asserted by" and not set(cells[0]) <= {"-", " "}:
            rows.append((head[1], *cells))
    return rows


def numbers_in(text: str) -> set[float]:
    return {float(found.replace("'", "")) for found in NUMBER.findall(text)}


def tolerances() -> dict[str, float]:
    found = re.findall(r"inline constexpr (?:double|int) (\w+) = ([^;]+);", TOLERANCES.read_text())
    return {name: float(value) for name, value in found}


def constant(file: Path, name: str) -> set[float]:
    """Numbers of a constant of a Python or C++ file."""
    if file.suffix == ".py":
        for node in ast.parse(file.read_text()).body:
            if isinstance(node, ast.Assign) and [ast.unparse(t) for t in node.targets] == [name]:
                return numbers_in(ast.unparse(node.value))
    elif found := re.search(rf"constexpr \S+ {name} = ([^;]+);", file.read_text()):
        return numbers_in(found[1])
    raise AssertionError(f"{file.name} has no constant {name}")


def body_of(file: Path, test: str) -> str:
    """Name and text of a test case."""
    if file.suffix == ".py":
        for node in ast.parse(file.read_text()).body:
            if isinstance(node, ast.FunctionDef) and node.name == test:
                return ast.unparse(node)
    else:
        cases = re.split(r"^(?=TEST_CASE\()", file.read_text(), flags=re.MULTILINE)[1:]
        for case in cases:
            if case.startswith(f'TEST_CASE("{test}"'):
                return case
    raise AssertionError(f"{file.name} has no test {test!r}")


def checks_in(body: str) -> str:
    """The statements of a test that can fail, and those that say what is allowed."""
    name, _, statements = body.partition("\n")
    checks = [s for s in re.split(r";|\n\n", statements) if re.search(r"\b(?:CHECK|REQUIRE|FAIL|allowed|assert)", s)]
    return "\n".join([name, *checks])


def problem(row: Row, root: Path = ROOT) -> str | None:
    """What is wrong with a row, or nothing."""
    column, what, *claims, place = row
    claimed = set().union(*(numbers_in(claim) for claim in claims))
    if tolerance := re.fullmatch(r"`tolerances::(\w+)`", place):
        known = tolerances()
        if tolerance[1] not in known:
            return f"{what}: tolerances.hpp has no {tolerance[1]}"
        return None if claimed == {known[tolerance[1]]} else f"{what}: {claims}, the constant is {known[tolerance[1]]}"
    where = re.fullmatch(r'`([^`]+)`: (?:`(\w+)`|"(.+)")', place)
    if where is None or not (root / where[1]).is_file():
        return f"{what}: {place} is no place of this repository"
    try:
        if where[2]:
            known_numbers = constant(root / where[1], where[2])
        else:
            body = body_of(root / where[1], where[3])
            checks = body if column == "range" else checks_in(body)
            if claims == [SAME_BITS]:
                return None if re.search(r"same_bits\(|memcmp\(", body) else f"{what}: the test compares no bits"
            known_numbers = numbers_in(checks)
    except AssertionError as missing:
        return f"{what}: {missing}"
    if column == "range":
        known_numbers |= {-number for number in known_numbers}
    if not claimed:
        return f"{what}: claims no number"
    return None if claimed <= known_numbers else f"{what}: {sorted(claimed - known_numbers)} does not stand at {place}"


@pytest.mark.parametrize(("page", "least"), [("numerics.md", 30), ("method.md", 4)])
def test_every_number_is_asserted_where_the_page_says(page: str, least: int) -> None:
    rows = rows_of((ROOT / "docs" / page).read_text())
    assert len(rows) >= least
    problems = [found for row in rows if (found := problem(row))]
    assert not problems, "\n".join(problems)


def test_every_tolerance_stands_on_the_page() -> None:
    named = set(re.findall(r"`tolerances::(\w+)`", (ROOT / "docs/numerics.md").read_text()))
    assert named == tolerances().keys()
    assert named


@pytest.mark.parametrize("page", ["numerics.md", "method.md"])
def test_no_table_escapes(page: str) -> None:
    text = (ROOT / "docs" / page).read_text()
    written = [line for line in text.splitlines() if re.search(r"`tolerances::|`(?:tests|cpp)/\S+`: ", line)]
    assert len(written) == len(rows_of(text))


def test_the_build_does_not_contract() -> None:
    build = (ROOT / "CMakeLists.txt").read_text()
    assert "-ffp-contract=off" in build
    assert "fast-math" not in build


def test_the_page_says_from_where_a_sweep_makes_a_table() -> None:
    (pays_from,) = constant(ROOT / "cpp/src/motion/sweep.cpp", "table_pays_from")
    assert f"({pays_from:.0f} states and more)" in (ROOT / "docs/numerics.md").read_text()


@pytest.mark.parametrize(
    "row",
    [
        "| held | 1e-9 mm | `tolerances::held_mm` |",
        "| held | 1e-10 mm | `tolerances::kept_mm` |",
        "| links | 1e-9 mm | `tests/cpp/motion/no_test.cpp`: \"no test\" |",
        "| one | 2 | `x_test.cpp`: \"one\" |",
        "| other test's number | 3 | `x_test.cpp`: \"one\" |",
        "| not in a check | 5 | `x_test.cpp`: \"one\" |",
        "| no such test | 1 | `x_test.cpp`: \"three\" |",
        "| no number | small | `x_test.cpp`: \"one\" |",
        "| no bits | same bits | `x_test.cpp`: \"one\" |",
        "| a Python constant | 1e-8 | `x.py`: `SIZE` |",
        "| no constant | 1e-9 | `x.py`: `NO_SIZE` |",
    ],
)  # fmt: skip
def test_a_number_that_differs_is_found(row: str, tmp_path: Path) -> None:
    source = (
        'TEST_CASE("one") {\n    const int n = 5;\n    CHECK(x <= 1.0);\n}\nTEST_CASE("two") {\n    CHECK(x < 3);\n}\n'
    )
    (tmp_path / "x_test.cpp").write_text(source)
    (tmp_path / "x.py").write_text("SIZE = 1e-9\n")
    head = "| what | bound | asserted by |\n| --- | --- | --- |\n"
    (found,) = rows_of(head + row)
    assert problem(found, tmp_path) is not None
    (right,) = rows_of(head + '| one | 1.0 | `x_test.cpp`: "one" |')
    assert problem(right, tmp_path) is None
    (also,) = rows_of(head + "| size | 1e-9 | `x.py`: `SIZE` |")
    assert problem(also, tmp_path) is None
