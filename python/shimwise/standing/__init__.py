"""The car as it stands: at rest on its springs, or on solid struts."""
