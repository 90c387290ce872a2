"""Register: how well the back of a sheet lies on its front, fitted, predicted and corrected."""
