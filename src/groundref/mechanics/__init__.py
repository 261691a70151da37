"""Flight mechanics: pure functions on scalars or arrays, SI units and radians; numpy only."""
