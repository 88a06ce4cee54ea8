"""The extension module: the door to the Rust library."""

__version__: str

def ask(question: str, request: str) -> str:
    """Ask a question with a JSON request; answered in JSON. Releases the interpreter lock."""

def check(noun: str, json: str) -> None:
    """Refuse what a noun can not be made of, with all its mistakes."""

def mesh(bytes: bytes, format: str, reading: str) -> str:
    """Measure a mesh from the bytes of its file, "stl" or "obj"; `reading` and the answer are JSON."""

def mesh_arrays(vertices: bytes, triangles: bytes, reading: str) -> str:
    """Measure a mesh of arrays: little-endian float64 coordinates, little-endian uint32 corners."""

def questions() -> str:
    """Every question as JSON: name, about, and the JSON schemas of request and answer."""

def error_kinds() -> list[str]:
    """List the names of the kinds of refusal, in the order of their C status codes."""
