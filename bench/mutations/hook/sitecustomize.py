"""Python starts with one module of Finial replaced by the same with a fault in it, named by the environment.

The sources on disk stay as they are: many faults can be tried at once, and compiled kernels,
which are kept by where their sources lie, are found by all.
"""

import marshal
import os
import sys
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType


class _WithFault(SourceFileLoader):
    def get_code(self, fullname: str) -> CodeType:
        return marshal.loads(Path(os.environ["MUTANT_CODE"]).read_bytes())


class _Finder:
    @staticmethod
    def find_spec(name: str, path: object = None, target: object = None) -> ModuleSpec | None:
        if name != os.environ["MUTANT_MODULE"]:
            return None
        file = os.environ["MUTANT_FILE"]
        folders = [str(Path(file).parent)] if file.endswith("__init__.py") else None
        return spec_from_file_location(
            name, file, loader=_WithFault(name, file), submodule_search_locations=folders
        )


if "MUTANT_MODULE" in os.environ:
    sys.meta_path.insert(0, _Finder())
