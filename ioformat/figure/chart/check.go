package chart

import (
	"fmt"
	"math"
)

// check refuses a figure that can't be drawn honestly. What it finds is a fault
// of the program that made the figure, never of a reader's data.
func (f *Figure) check() error {
	if f.Name == "" || f.Title == "" || f.Alt == "" || len(f.Panels) == 0 {
		return fmt.Errorf("figure %q lacks a name, title, description or panel", f.Name)
	}
	for i := range f.Panels {
		p := &f.Panels[i]
		if !p.drawn() {
			if p.Empty == "" {
				return fmt.Errorf("figure %q: panel %d is empty and doesn't say why", f.Name, i+1)
			}
			continue
		}
		if p.Bare && len(p.coordinates()) == 4 { // nothing but the ends of its axes
			continue
		}
		if !(p.X.Min < p.X.Max && p.Y.Min < p.Y.Max) {
			return fmt.Errorf("figure %q: panel %d has no range", f.Name, i+1)
		}
		if p.X.Log && !(p.X.Min+p.X.Shift > 0) || p.Y.Log && !(p.Y.Min+p.Y.Shift > 0) {
			return fmt.Errorf("figure %q: panel %d has a logarithm of what is not above zero", f.Name, i+1)
		}
		for _, v := range p.coordinates() {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("figure %q: panel %d has a mark nowhere", f.Name, i+1)
			}
		}
		for _, d := range p.Points {
			if d.X < p.X.Min || d.X > p.X.Max || d.Y < p.Y.Min || d.Y > p.Y.Max {
				return fmt.Errorf("figure %q: panel %d has a mark outside its range", f.Name, i+1)
			}
		}
	}
	return nil
}

// coordinates lists all that is mapped to the page.
func (p *Panel) coordinates() []float64 {
	v := []float64{p.X.Min, p.X.Max, p.Y.Min, p.Y.Max}
	add := func(points ...XY) {
		for _, q := range points {
			v = append(v, q.X, q.Y)
		}
	}
	for _, d := range p.Points {
		add(d.XY)
		v = append(v, d.Low, d.High, d.WideLow, d.WideHigh)
	}
	for _, l := range p.Lines {
		add(l.Points...)
	}
	for _, a := range p.Areas {
		add(a.Outline...)
	}
	for _, t := range p.Texts {
		add(t.XY)
	}
	for _, b := range p.Bands {
		for _, q := range b.Points {
			v = append(v, q.X, q.Low, q.High)
		}
	}
	for _, r := range p.Rules {
		v = append(v, r.At)
	}
	return v
}
