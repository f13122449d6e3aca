package findings

import (
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// excess estimates by how much χ² would fall without each reading: the squares of its residual
// and of what it moved its parts by, or what a linear fit would lose with it, if that is more.
func excess(r *estimation.Result) []float64 {
	p := r.Problem
	out := make([]float64, len(r.Readings))
	for _, i := range p.Rows {
		o := &r.Readings[i]
		d := o.Residual / p.Uncertainty(r.Solution.X, &o.Reading)
		sum := d * d
		for _, part := range o.Parts {
			if k := p.PartAt[part]; k >= 0 && p.Parts[part].Known {
				sum += r.Solution.X[k] * r.Solution.X[k]
			}
		}
		linear := o.Standardised * r.Scatter.Scale
		if linear *= linear; linear > sum {
			sum = linear
		}
		out[i] = sum
	}
	return out
}

// with returns the indexes of the readings with each part.
func with(l *readings.Log) [][]int {
	out := make([][]int, len(l.Parts))
	for i := range l.Readings {
		o := &l.Readings[i]
		for _, p := range o.Parts {
			if at := out[p]; o.Use && (len(at) == 0 || at[len(at)-1] != i) {
				out[p] = append(at, i)
			}
		}
	}
	return out
}

// LinesWith returns the lines of the readings with part p.
func LinesWith(l *readings.Log, p int) (lines []int) {
	for i := range l.Readings {
		if o := &l.Readings[i]; o.Use && slices.Contains(o.Parts, p) {
			lines = append(lines, o.Line)
		}
	}
	return lines
}

// leaving returns s with its own copy of the readings, without those at the indexes.
func leaving(s estimation.Session, out ...int) estimation.Session {
	s.Log.Readings = slices.Clone(s.Log.Readings)
	for _, i := range out {
		s.Log.Readings[i].Use = false
	}
	return s
}
