"""Prints the lowest version of each direct dependency, one a line, as pip constraints."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads((Path(__file__).parent.parent / "pyproject.toml").read_text())["project"]
for line in project["dependencies"] + project["optional-dependencies"]["parquet"]:
    name, floor = re.match(r"([A-Za-z0-9_.-]+)[^,]*?>=\s*([0-9.]+)", line).groups()
    print(f"{name}=={floor}")
