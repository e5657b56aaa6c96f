"""Pure: pictures worked out from a structure, drawn through a pen."""
