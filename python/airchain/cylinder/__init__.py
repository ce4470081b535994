"""The crank-resolved engine: cams, ports and runners make the volumetric efficiency."""
