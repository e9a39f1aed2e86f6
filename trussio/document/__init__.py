"""The truss document and its relatives: JSON to records and back, with every fault named."""
