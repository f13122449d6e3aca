package chart

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
