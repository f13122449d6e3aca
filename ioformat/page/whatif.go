package page

import (
	"math"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// panel is what a reader can set to try a change, with what the model says of
// it.
type panel struct {
	Cores                []string
	Added, Covered, Hand *slider // nil: the readings tell nothing of it
	Modes                []mode
}

// mode is one condition in which the sliders act.
type mode struct {
	core   string
	full   bool // the core covers all of the winding
	near   bool // somebody is near
	limits []decisions.Outside
	*expansion
}

// newPanel samples the model over all settings that its readings say something
// about; nil when there is none. Frequencies are those for exactly the
// capacitance set. progress is that of Source.
func newPanel(r *model.Result, progress func(steps int) func()) *panel {
	p := &panel{Cores: r.Cores()}
	if r.Find(quantities.Key{Name: quantities.HandStrength}) != nil {
		p.Hand = handSlider(r)
	}
	if len(p.Cores) > 0 {
		p.Covered = &slider{Unit: "%", Scale: 0.01, Max: 100, Step: 1, Start: 100}
	}
	p.Added = p.addedSlider(r)
	var modes []mode
	for _, c := range append([]string{""}, p.Cores...) {
		for _, near := range []bool{false, true} {
			for _, full := range []bool{true, false} {
				if near && p.Hand == nil || c == "" && !full {
					continue
				}
				modes = append(modes, mode{core: c, full: full, near: near})
			}
		}
	}
	step := func() {}
	if progress != nil {
		step = progress(len(modes))
	}
	for _, m := range modes {
		p.add(r, m)
		step()
	}
	if p.Added == nil && p.Hand == nil && p.Covered == nil || len(p.Modes) == 0 {
		return nil
	}
	return p
}

// add expands a mode, if the readings determine it.
func (p *panel) add(r *model.Result, m mode) {
	axes := m.sliders(p)
	sample := func(x []float64) (lnF, v float64, ok bool) {
		hz, u, ok := r.Spread(m.state(p, x))
		relative := u / hz
		return math.Log(hz), relative * relative, ok
	}
	var ok bool
	if m.expansion, ok = newExpansion(axes, sample); !ok && !m.full {
		if axes, ok = p.stepwise(&m, sample); ok {
			m.expansion, ok = newExpansion(axes, sample)
		}
	}
	if !ok {
		return
	}
	x := make([]float64, len(axes))
	for _, t := range []float64{-1, 1} {
		for i := range axes {
			x[i] = axes[i].at(t)
		}
		for _, o := range decisions.Beyond(r.Result, m.state(p, x)) {
			m.limit(o)
		}
	}
	p.Modes = append(p.Modes, m)
}

// stepwise returns the axes of m with single values of the coverage, for a core
// whose effect grows bead by bead; false where none of them is determined.
func (p *panel) stepwise(m *mode, sample sampler) ([]axis, bool) {
	axes := m.sliders(p)
	x := make([]float64, len(axes))
	for i := range axes {
		x[i] = axes[i].at(0)
	}
	for i := range axes {
		if axes[i].Name != "covered" {
			continue
		}
		values := []float64{}
		for n := 5; n < 100; n += 5 {
			x[i] = float64(n) / 100
			if _, _, ok := sample(x); ok {
				values = append(values, x[i])
			}
		}
		axes[i].Values, axes[i].N = values, len(values)
		if len(values) > 0 {
			p.Covered.Step = 5
			return axes, true
		}
	}
	return nil, false
}

// limit notes what was read, seen from a corner of the box outside it.
func (m *mode) limit(o decisions.Outside) {
	if !slices.ContainsFunc(m.limits, func(known decisions.Outside) bool { return known.Element == o.Element }) {
		m.limits = append(m.limits, o)
	}
}

// sliders lists the axes that the sliders change in mode m. In the logarithm of
// what is added, on top of about as much as the coil has itself, ln f is close to
// straight; in that of a hand's distance, its capacitance is an exponential.
func (m *mode) sliders(p *panel) (list []axis) {
	if s := p.Added; s != nil {
		list = append(list, axis{Name: "added", To: s.Max * s.Scale, Shift: s.Max * s.Scale / 8})
	}
	if !m.full {
		list = append(list, axis{Name: "covered", To: 1})
	}
	if m.near {
		s := p.Hand
		list = append(list, axis{Name: "hand", From: s.Min * s.Scale, To: s.Max * s.Scale, Shift: s.Min * s.Scale})
	}
	return list
}

// state is the setting x of the axes of m.
func (m *mode) state(p *panel, x []float64) readings.State {
	s := readings.Bare()
	if m.core != "" {
		s.Core, s.To = m.core, 1
	}
	i := 0
	take := func() float64 { i++; return x[i-1] }
	if p.Added != nil {
		s.Exact = take()
	}
	if !m.full {
		s.To = take()
	}
	if m.near {
		s.Hand = take()
	}
	return s
}

// slider is a range of settings, in a unit that reads well.
type slider struct {
	Unit           string
	Scale          float64 // SI units in one
	Min, Max, Step float64 // in Unit
	Start          float64
}

// addedSlider reaches half as far again as what was read, or as far as the
// readings determine.
func (p *panel) addedSlider(r *model.Result) *slider {
	most := 0.0
	for i := range r.Readings {
		if a := r.Added(r.Readings[i].State); r.Readings[i].Use && a > most {
			most = a
		}
	}
	if c := r.Find(quantities.Key{Name: quantities.EffectiveCapacitance}); most == 0 && c.Determined {
		most = c.Value
	}
	for reach := 1.5 * most; reach > most/8; reach /= 2 {
		u := quantity.UnitFor(reach, 0, "F")
		s := &slider{Unit: u.Symbol, Scale: u.ToSI(1), Max: niceAbove(u.FromSI(reach))}
		s.Step = step(s.Max)
		state := readings.Bare()
		state.Exact = u.ToSI(s.Max)
		if r.Frequency(state, nil).Determined {
			return s
		}
		for _, c := range p.Cores {
			in := state
			in.Core, in.To = c, 1
			if r.Frequency(in, nil).Determined {
				return s
			}
		}
	}
	return nil
}

// handSlider reaches from half the smallest distance read to twice the largest.
func handSlider(r *model.Result) *slider {
	least, most := math.Inf(1), 0.0
	for i := range r.Readings {
		if o := &r.Readings[i]; o.Use && !math.IsInf(o.Hand, 1) {
			least, most = math.Min(least, o.Hand), math.Max(most, o.Hand)
		}
	}
	const cm = 0.01 // as makers measure it
	s := &slider{Unit: "cm", Scale: cm, Max: niceAbove(2 * most / cm)}
	s.Step = step(s.Max)
	s.Min = s.at(math.Max(1, math.Floor(least/2/cm/s.Step)))
	s.Start = s.at(math.Round(least / cm / s.Step))
	return s
}

// scale is s.Scale, 0 without a slider.
func (s *slider) scale() float64 {
	if s == nil {
		return 0
	}
	return s.Scale
}

// at returns the n-th step from zero, without the noise of binary fractions.
func (s *slider) at(n float64) float64 { return math.Round(n*s.Step*1e9) / 1e9 }

// step returns 1, 2 or 5 times a power of ten that divides a range into about
// 200.
func step(most float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(most/200)))
	switch n := most / 200 / decade; {
	case n > 5:
		return 10 * decade
	case n > 2:
		return 5 * decade
	case n > 1:
		return 2 * decade
	}
	return decade
}

// niceAbove returns the least of 1, 2, 2.5, 4, 5, 8 times a power of ten that isn't
// below x.
func niceAbove(x float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(x)))
	for _, n := range []float64{1, 2, 2.5, 4, 5, 8, 10} {
		if v := n * decade; v >= x*(1-1e-12) {
			return v
		}
	}
	return 10 * decade
}
