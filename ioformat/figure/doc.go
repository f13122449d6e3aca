// Package figure says what the figures of a result show.
//
// Each function makes one figure from a result: plain data, ready to be drawn
// by [Figure.Render] or goldened by a test. It computes nothing that a reader
// could take for a finding; residuals, curves, bands and plotting positions come
// from the packages below. What the readings don't determine is left out, and
// the figure says so in words.
package figure

import "fitcoil/ioformat/figure/chart"

// Figure is one figure, ready to be rendered.
type Figure = chart.Figure
