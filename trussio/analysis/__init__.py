"""Forces by direct stiffness."""
