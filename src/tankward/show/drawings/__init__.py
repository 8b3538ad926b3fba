"""Line drawings as SVG text: marks, bars, animals, tanks. One stroke, no fill, styled by classes alone."""
