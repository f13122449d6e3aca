package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/loss"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

const (
	// readQuality is the relative standard uncertainty of a quality factor as read from a
	// ring-down or a width: the log has no ± for it (common practice).
	readQuality = 0.05
	// drawnWinding is that of a winding's resistance from its wire, Medhurst's factor and
	// what lies between direct current and its limit.
	drawnWinding = 0.3
)

// losses splits the quality factors read among what loses energy, by how each grows: the
// winding as the resistance of its wire over frequency, by the share of the magnetic energy
// that is its own; insulators by the share of the electric energy that is the coil's own
// and no added capacitor's; a core, and the winding with it, in proportion to frequency. The
// first two are told of the bare coil, a core's of the coil bare with it. Nothing where no
// quality factor was read.
func (r *Result) losses() (list []quantities.Estimate) {
	rows := r.lossRows()
	if len(rows) == 0 {
		return nil
	}
	parts := 2 + len(r.Problem.Cores)
	alone := loss.Split(rows, parts)
	drawn := alone
	if prior, ok := r.drawnLoss(parts); ok {
		drawn = loss.Split(append(rows, prior), parts)
	}
	for j, key := range r.lossKeys() {
		if j >= 2 && !readWith(rows, j) {
			continue
		}
		e := quantities.Estimate{Key: key, Unit: "1"}
		p := drawn[j]
		if !p.Determined {
			list = append(list, e.Forget())
			continue
		}
		e.Determined, e.Value = true, 1/p.Inverse
		e.Uncertainty = p.Uncertainty / (p.Inverse * p.Inverse)
		e.Stated = e.Uncertainty
		e.Degrees, e.Coverage = p.Degrees, fit.CoverageFactor(0.95, p.Degrees)
		e.Interval = [2]float64{1 / p.Interval[1], 1 / p.Interval[0]}
		e.Budget.Readings = 1
		if !alone[j].Determined {
			e.Budget = quantities.Budget{Known: 1}
		}
		list = append(list, e)
	}
	return list
}

// readWith tells whether part j counts in any of rows.
func readWith(rows []loss.Row, j int) bool {
	return slices.ContainsFunc(rows, func(row loss.Row) bool { return row.Weights[j] > 0 })
}

// lossRows returns a row for each quality factor read with nobody near and the primary open.
func (r *Result) lossRows() (rows []loss.Row) {
	for _, i := range r.Problem.Rows {
		if row, ok := r.lossRow(i); ok {
			rows = append(rows, row)
		}
	}
	return rows
}

// lossRow returns that of a reading; ok is false where it tells nothing.
func (r *Result) lossRow(reading int) (row loss.Row, ok bool) {
	o := &r.Session.Log.Readings[reading]
	if !(o.Quality > 0) || !math.IsInf(o.Hand, 1) || o.Primary.Kind != readings.PrimaryOpen {
		return row, false
	}
	weights := r.lossWeights(r.Problem.Model, r.Solution.X, &o.State)
	return loss.Row{Inverse: 1 / o.Quality, Uncertainty: readQuality / o.Quality, Read: true, Weights: weights}, quantities.Finite(weights...)
}

// LossReading is a quality factor read, and what each loss brings to its inverse.
type LossReading struct {
	readings.Reading
	Uncertainty float64   // standard, of the inverse
	Parts       []float64 // of the inverse, in the order of Losses
}

// Losses lists what divides the quality factors read, and those; neither where one of them is
// not determined.
func (r *Result) Losses() (of []*quantities.Estimate, list []LossReading) {
	var at []int // where each stands among the weights
	for j, key := range r.lossKeys() {
		e := r.Find(key)
		if e == nil {
			continue
		}
		if !e.Determined {
			return nil, nil
		}
		of, at = append(of, e), append(at, j)
	}
	for _, i := range r.Problem.Rows {
		row, ok := r.lossRow(i)
		if !ok || len(of) == 0 {
			continue
		}
		o := LossReading{Reading: r.Session.Log.Readings[i], Uncertainty: row.Uncertainty}
		for k, j := range at {
			o.Parts = append(o.Parts, row.Weights[j]/of[k].Value)
		}
		list = append(list, o)
	}
	return of, list
}

// lossKeys names what loses energy, in the order of the weights.
func (r *Result) lossKeys() []quantities.Key {
	keys := []quantities.Key{{Name: quantities.QualityWinding}, {Name: quantities.QualityDielectric}}
	for _, c := range r.Problem.Cores {
		keys = append(keys, quantities.Key{Name: quantities.QualityCore, Core: c.Name})
	}
	return keys
}

// lossWeights returns by how much each part of 1/Q counts in state s, against its reference.
func (r *Result) lossWeights(f *forward.Model, x []float64, s *readings.State) []float64 {
	weights := make([]float64, 2+len(f.Cores))
	bare := readings.Bare()
	base, hz := f.Ideal(x, &bare, nil), f.Ideal(x, s, nil)
	copper := f.CopperShare()
	for k := range f.Cores {
		if f.Cores[k].Name == s.Core && s.Core != "" {
			full := f.Deepest(k)
			weights[2+k] = hz / f.Ideal(x, &full, nil)
			f.At(x, s)
		}
	}
	weights[0] = copper * r.resistance(hz) / r.resistance(base) * base / hz
	weights[1] = 1 + 2*f.Resonance.PerTop*f.Added(x, s)
	return weights
}

// Heat is the power that a loss takes in a state, while the coil rings steadily, over the
// square of the peak voltage at the top [W/V²]: ½ω C_eff/Q.
type Heat struct {
	quantities.Key
	PerSquare float64
}

// Heats lists what is lost in state s, as far as the quality factors read determine it; none
// with a primary that does anything.
func (r *Result) Heats(f *forward.Model, x []float64, s readings.State) (list []Heat) {
	if s.Primary.Kind != readings.PrimaryOpen {
		return nil
	}
	weights := r.lossWeights(f, x, &s)
	f.At(x, &s)
	power := f.Resonance.Omega * f.Resonance.Capacitance / 2
	for j, key := range r.lossKeys() {
		if e := r.Find(key); e != nil && e.Determined && weights[j] > 0 {
			list = append(list, Heat{key, power * weights[j] / e.Value})
		}
	}
	return list
}

// resistance returns how the winding's resistance grows with frequency: as drawn, or else as
// the root, which holds where the skin is thin.
func (r *Result) resistance(hz float64) float64 {
	if d := r.Session.Drawn; d != nil && d.Drawing.Coil.Wire > 0 {
		return loss.Winding(d.Drawing.Coil, hz)
	}
	return math.Sqrt(hz)
}

// drawnLoss is what the drawing says of the winding's loss in the bare coil.
func (r *Result) drawnLoss(parts int) (row loss.Row, ok bool) {
	d := r.Session.Drawn
	if d == nil || d.Drawing.Coil.Wire == 0 {
		return row, false
	}
	bare := readings.Bare()
	hz := r.Problem.Ideal(r.Solution.X, &bare, nil)
	inverse := loss.Winding(d.Drawing.Coil, hz) / (2 * math.Pi * hz * math.Exp(r.Solution.X[forward.AtL]))
	row = loss.Row{Inverse: inverse, Uncertainty: drawnWinding * inverse, Weights: make([]float64, parts)}
	row.Weights[0] = 1
	return row, true
}
