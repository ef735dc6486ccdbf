"""What these tests share is found by its folder: the tests are no package."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
