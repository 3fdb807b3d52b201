"""The packaged catalog, read once for all tests of it."""

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    """The catalog of the packaged tables."""
    return load_catalog()
