"""The desk: a local web app to draw a puzzle, check it, rehearse it and record a solve."""
