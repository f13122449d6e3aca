package chart

import "image/color"

// Theme is the background that a figure is made for.
type Theme int

const (
	Light Theme = iota // paper
	Dark               // a dark screen
	// Auto follows the reader's screen, and is Light on paper: SVG only, for
	// browsers. Other formats take it as Light.
	Auto
)

// Sizes, in points. The figure is as wide as a column of text; at 800 pixels it
// shows 1.25 times its size, and a letter of 9 points is 15 pixels tall.
const (
	usualWidth = 480.0
	plotHeight = 190.0
	margin     = 10.0 // around everything
	gap        = 8.0  // between rows

	titleSize = 12.0
	labelSize = 10.0
	smallSize = 9.0 // ticks, keys, notes

	frameWidth  = 0.7
	gridWidth   = 0.4
	lineWidth   = 1.4
	thinWidth   = 0.9
	boldWidth   = 2.6
	barWidth    = 0.9
	markRadius  = 3.3
	dotRadius   = 1.1
	ringRadius  = 6.5
	tickLength  = 3.5
	inset       = 8.0 // between the frame and the ends of the ranges: no mark is cut
	bandOpacity = 0.18
)

// palette is the colours of a theme.
type palette struct {
	background, ink, faint, grid, mist color.NRGBA
	series                             []color.NRGBA
}

// The colours are those of M. Okabe and K. Ito, Color Universal Design (2002,
// rev. 2008), which readers of all kinds of colour vision can tell apart: those
// of the eight that carry a line on the background in question.
func (t Theme) palette() palette {
	black := rgb(0x010101) // a hair off: pure black is left out of an SVG as the default, and could not follow the theme
	skyBlue, orange := rgb(0x56B4E9), rgb(0xE69F00)
	blue, vermillion, green := rgb(0x0072B2), rgb(0xD55E00), rgb(0x009E73)
	purple, yellow := rgb(0xCC79A7), rgb(0xF0E442)
	if t == Dark {
		return palette{
			background: rgb(0x16181D), ink: rgb(0xECECEC), faint: rgb(0xA0A4AB), grid: rgb(0x33373F), mist: rgb(0x262A31),
			series: []color.NRGBA{rgb(0xFFFFFF), orange, skyBlue, yellow, purple},
		}
	}
	return palette{
		background: rgb(0xFFFFFF), ink: rgb(0x1A1A1A), faint: rgb(0x666666), grid: rgb(0xDDDDDD), mist: rgb(0xF0F0F0),
		series: []color.NRGBA{black, vermillion, blue, green, purple},
	}
}

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 0xFF}
}

// tone is a colour whose parts survive the multiplication with the opacity that
// color.Color asks for: rounded up, they come back whole from a division that
// rounds down.
type tone color.NRGBA

// RGBA makes tone a color.Color.
func (c tone) RGBA() (r, g, b, a uint32) {
	part := func(v uint8) uint32 { return (uint32(v)*257*uint32(c.A) + 254) / 255 }
	return part(c.R), part(c.G), part(c.B), uint32(c.A) * 257
}

// colour returns the colour of a style.
func (p *palette) colour(s Style) color.NRGBA {
	if s < 0 {
		s = -(-s % inks)
	}
	switch s {
	case Ink:
		return p.ink
	case Faint:
		return p.faint
	case Mist:
		return p.mist
	}
	return p.series[int(s)%Colors]
}

// shape returns the shape of the marks of a style.
func (s Style) shape() shape {
	if s < 0 {
		return shape(-s / inks)
	}
	return shape(int(s) / Colors % shapes)
}

// dashes returns the pattern of a style's lines, in points.
func (s Style) dashes() []float64 {
	if s < 0 {
		return nil
	}
	patterns := [][]float64{nil, {6, 3}, {2, 2}, {8, 2, 2, 2}}
	return patterns[int(s)/(Colors*shapes)%len(patterns)]
}

// guideDashes is the pattern of what is dashed whatever its series.
func guideDashes() []float64 { return []float64{4, 3} }

// Colours are those of a theme, as style sheets write them: "#1A1A1A".
type Colours struct {
	Background, Ink, Faint, Grid, Mist string
	Series                             []string
}

// Colours returns the colours of t, for what stands beside its figures.
func (t Theme) Colours() Colours {
	p := t.palette()
	c := Colours{Background: hex(p.background), Ink: hex(p.ink), Faint: hex(p.faint), Grid: hex(p.grid), Mist: hex(p.mist)}
	for _, s := range p.series {
		c.Series = append(c.Series, hex(s))
	}
	return c
}
