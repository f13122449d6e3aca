package model

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
)

// What is believed of a coil before the first reading. These beliefs are broad:
// they give way to any reading that says something on the matter, and what
// still rests on them is reported as such.
const (
	// A slim winding with a small ball holds most of its capacitance along
	// itself; a squat one with a large top does not.
	shareMean, shareSigma = 0.3, 0.3
	// A core of insulating ferrite changes the winding's capacitance somewhat:
	// the logarithm of the factor.
	coreSigma = 0.1
	// A hand is not a point: its offset is some centimetres, within a factor e.
	offsetMean, offsetSigma = 0.05, 1
	// A grounded body lowers the frequency about as the inverse square.
	exponentMean, exponentSigma = 2, 0.5
	// Where nothing tells inductance from capacitance, a solver needs some
	// ground under its feet: winding and top together are about 8 pF, within a
	// factor of seven. It is used only then, and far too weak to make anything
	// determined.
	anchorMean, anchorSigma = 8e-12, 2
	// Where an unknown part can't be told from the coil either, it is some
	// picofarads, within twenty powers of e.
	partMean, partSigma = 3e-12, 10
	// Nor a hand: at 10 cm it is some tens of femtofarads, likewise.
	handMean, handSigma, handAt = 5e-14, 10, 0.1

	anchorLevels = 3 // none, the coil, the coil and its unknown parts and hand
)

// origin tells where a row of the fit comes from.
type origin int

const (
	fromReading   origin = iota
	fromTolerance        // of one part, as far as it is its own
	fromCommon           // what the tolerances of a lot have in common
	fromKnown
	fromAssumption // on the coil, its core or a hand
	fromBench      // on the bench, whatever the coil
	fromModel      // what the resonator errs by
	origins        // how many there are
)

// believed tells of a prior that nobody stated.
func (o origin) believed() bool { return o == fromAssumption || o == fromBench }

// problem is the least-squares problem of a session, with what stands behind
// each of its rows.
type problem struct {
	fit.Problem
	*forward
	rows    []int        // index in Log.Readings of each data row
	weighed []float64    // standard uncertainty of each data row [Hz]
	stated  []float64    // the same before scatter enlarged it; nil where it didn't
	alike   []float64    // factor on the uncertainty of each data row, see roundings; nil: 1
	origins []origin     // of each prior row
	assumed []Assumption // what each prior row assumes, but for known values
	priorOf []int        // index in Log.Parts of each prior row that is the tolerance of a part; −1 for others
	anchors int          // see priors
	held    bool         // there is next to no lead and drift, see room
	loose   []int        // unknowns whose priors the readings contradict, see loosen
	knowns  []knownRow
	log     Log
	moments []float64       // of each reading, from −½ for the first to ½ for the last
	table   *stateTable     // nil where readings share few states
	placed  map[stretch]int // number of data rows with a core partly in, by where it is
	model   []float64       // what the model errs by in each data row, relative, where that is an unknown; nil without any
}

// long is the number of readings from which on it pays to look for states that
// they have in common all over the log, not just one after the other.
const long = 50

// knownRow is the prior row of a known value.
type knownRow struct {
	Known
	q quantity
}

// newProblem assembles the fit of the used readings of s, with room for the
// unknowns of further states.
func newProblem(s Session, further ...State) (*problem, error) {
	f := newForward(&s.Log, s.resonator(), s.Lumped, s.Known, further)
	p := &problem{forward: f, log: s.Log, moments: s.Log.moments(), rows: make([]int, 0, len(s.Log.Readings))}
	for i := range s.Log.Readings {
		if s.Log.Readings[i].Use {
			p.rows = append(p.rows, i)
		}
	}
	if len(s.Known) > 0 {
		if err := p.matchKnowns(s.Known, s.open); err != nil {
			return nil, err
		}
	}
	if s.Drawn != nil {
		p.matchDrawn(s.Drawn.Known(), s.open)
	}
	if len(p.rows) >= long {
		p.table = newStateTable(s.Log, p.rows)
	}
	p.Params, p.Own = f.n, f.owned
	p.Data = p.dataRows()
	p.Prior = p.priors(0)
	p.Lower, p.Upper = f.bounds()
	var x []float64 // only a core makes an uncertainty depend on it
	if len(p.cores) > 0 {
		x = p.start(s.Log)
	}
	p.alike = p.roundings()
	if s.alike > 0 {
		if p.alike == nil {
			p.alike = ones(len(p.rows))
		}
		floats.Scale(s.counts(), p.alike)
	}
	p.countAlike()
	p.weigh(x)
	return p, nil
}

// state returns the frequency of data row i, in state s, and writes ∂ln f/∂x.
func (p *problem) state(x []float64, i int, s *State, grad []float64) float64 {
	if p.table == nil {
		return p.erring(x, i, p.ideal(x, s, grad), grad)
	}
	p.table.at(p.forward, x)
	k := p.table.of[i]
	n := p.width()
	copy(grad, p.table.grad[k*n:(k+1)*n])
	return p.erring(x, i, p.table.f[k], grad)
}

// readings writes the residuals (read − model)/u of data rows first … and
// their derivatives. Readings of one state mostly follow each other: then the
// row before has all but u.
func (p *problem) readings(log Log, x []float64, first int, r, jac []float64) {
	n := p.width()
	var f, hz, u float64
	var grad []float64
	var before *State
	for i := range r {
		reading := &log.Readings[p.rows[first+i]]
		last, lastHz := u, hz
		u = p.weighed[first+i]
		above := grad
		if jac != nil {
			grad = jac[i*n : (i+1)*n]
		}
		drift, slope := p.drifted(x, p.moments[p.rows[first+i]])
		var scale float64
		if before != nil && before.repeats(&reading.State) {
			copy(grad, above)
			hz = f * drift
			scale = hz / lastHz * last / u
		} else {
			f = p.state(x, first+i, &reading.State, grad)
			hz = f * drift
			scale = -hz / u
		}
		before = &reading.State
		r[i] = (reading.Frequency - hz) / u
		for j := range grad {
			grad[j] *= scale
		}
		if jac != nil && p.drift >= 0 {
			grad[p.drift] = -hz / u * slope
		}
	}
}

// dataRows returns the rows of the readings.
func (p *problem) dataRows() fit.Rows {
	e := fit.Rows{N: len(p.rows), Evaluate: func(x []float64, first int, r, jac []float64) {
		p.readings(p.log, x, first, r, jac)
	}}
	if p.owned > 0 {
		e.Own = make([]int, len(p.rows))
		for k, i := range p.rows {
			e.Own[k] = p.ownPart(&p.log.Readings[i].State)
		}
	}
	return e
}

// repeats tells whether s is written just as o is.
func (s *State) repeats(o *State) bool {
	return s.Exact == o.Exact && s.Clip == o.Clip && s.Core == o.Core && s.From == o.From && s.To == o.To && s.Hand == o.Hand && slices.Equal(s.Parts, o.Parts)
}

// priors returns the prior rows: beliefs and tolerances, then known values.
// anchors says how much ground the solver needs under its feet.
func (p *problem) priors(anchors int) fit.Rows {
	p.origins, p.assumed, p.priorOf, p.anchors = nil, nil, nil, anchors
	var g []fit.Gaussian
	add := func(o origin, a Assumption, at int, mean, sigma float64) {
		g = append(g, fit.Gaussian{Param: at, Mean: mean, Sigma: sigma})
		p.origins, p.priorOf = append(p.origins, o), append(p.priorOf, -1)
		p.assumed = append(p.assumed, a)
	}
	if p.share >= 0 {
		add(fromAssumption, assume(AssumedShare, shareMean, shareSigma), p.share, shareMean, shareSigma)
	}
	for _, c := range p.cores {
		add(fromAssumption, assume(AssumedCoreCapacitance, p.polarisation(), coreSigma, c.name), c.at+1, 0, coreSigma)
		if c.ends >= 0 {
			add(fromAssumption, assume(AssumedEnds, endsMean, math.Exp(endsSigma), c.name), c.ends, 0, 1)
			add(fromAssumption, assume(AssumedCoupling, couplingMean, couplingSigma, c.name), c.ends+1, 0, 1)
		}
	}
	if p.hand >= 0 {
		add(fromAssumption, assume(AssumedHandOffset, offsetMean, math.Exp(offsetSigma)), p.hand+1, math.Log(offsetMean), offsetSigma)
		add(fromAssumption, assume(AssumedHandExponent, exponentMean, exponentSigma), p.hand+2, exponentMean, exponentSigma)
	}
	for i, k := range p.partAt {
		if part := &p.parts[i]; k >= 0 && part.Known {
			a := Assumption{}
			if part.Default {
				a = assume(AssumedTolerance, 0, p.relative(i), part.Name)
			}
			add(fromTolerance, a, k, 0, 1)
			p.priorOf[len(p.priorOf)-1] = i
		}
	}
	p.benchPriors(add)
	if anchors > 0 {
		add(fromAssumption, assume(AssumedCapacitance, anchorMean, math.Exp(anchorSigma)), atC, math.Log(anchorMean), anchorSigma)
	}
	for i, k := range p.partAt {
		if anchors > 1 && k >= 0 && !p.parts[i].Known {
			add(fromAssumption, assume(AssumedPart, partMean, math.Exp(partSigma), p.parts[i].Name), k, math.Log(partMean), partSigma)
		}
	}
	if anchors > 1 && p.hand >= 0 {
		mean := handMean * math.Pow(offsetMean+handAt, exponentMean) / math.Pow(offsetMean+p.handScale, exponentMean)
		add(fromAssumption, assume(AssumedHand, mean, math.Exp(handSigma)), p.hand, math.Log(mean), handSigma)
	}
	for _, k := range p.places {
		add(fromModel, Assumption{}, k.at, 0, 1) // a finding tells of it
	}
	for range p.knowns {
		p.origins, p.priorOf = append(p.origins, fromKnown), append(p.priorOf, -1)
	}
	return p.rowsOf(g)
}

// rowsOf returns the rows of beliefs and tolerances, and behind them those of known values.
func (p *problem) rowsOf(g []fit.Gaussian) fit.Rows {
	gaussians := fit.OwnGaussians(p.n, p.owned, g)
	own := gaussians.Own
	if own != nil {
		for _, k := range p.knowns {
			own = append(own, p.ownOf(k.q.part))
		}
	}
	return fit.Rows{N: len(p.origins), Own: own, Evaluate: func(x []float64, first int, r, jac []float64) {
		split := min(max(len(g)-first, 0), len(r))
		var head, tail []float64
		if jac != nil {
			cut := split * p.width()
			head, tail = jac[:cut], jac[cut:]
		}
		gaussians.Evaluate(x, first, r[:split], head)
		if split == len(r) {
			return
		}
		p.knownRows(x, first+split-len(g), r[split:], tail)
	}}
}

// knows tells whether a value is known of the quantity.
func (p *problem) knows(name string) bool {
	return slices.ContainsFunc(p.knowns, func(k knownRow) bool { return k.Name == name })
}

// sharesOf prepares the shares of variance that come from each kind of prior row.
func (p *problem) sharesOf(c fit.Covariance, x []float64) *fit.Shares {
	return c.NewShares(p.Prior, x, int(origins), func(i int) int { return int(p.origins[i]) })
}

// onBench tells whether inductance and capacitance at x are within what bounds allows, which
// straightened coordinates don't see to: with nothing to tell one from the other, a step may
// go anywhere along their product.
func (p *problem) onBench(x []float64) bool {
	within := func(i int) bool { return x[i] >= p.Lower[i] && x[i] <= p.Upper[i] }
	return within(atL) && within(atC)
}

// bounds keeps the unknowns where a coil can be. Only the share can meet its
// bounds in earnest; the others keep a runaway fit within floating point.
func (f *forward) bounds() (lower, upper []float64) {
	lower, upper = make([]float64, f.n), make([]float64, f.n)
	set := func(i int, lo, hi float64) { lower[i], upper[i] = lo, hi }
	set(atL, math.Log(1e-16), math.Log(1e10)) // what a log in a wrong unit implies is in between
	set(atC, math.Log(1e-16), math.Log(1e-3))
	if f.share >= 0 {
		set(f.share, 0, 1)
	}
	for _, c := range f.cores {
		set(c.at, math.Log(1e-2), math.Log(1e5))
		set(c.at+1, math.Log(1e-2), math.Log(1e2))
		if c.ends >= 0 {
			set(c.ends, endsLeast, endsMost)
			set(c.ends+1, -30, 30)
		}
	}
	if f.hand >= 0 {
		set(f.hand, math.Log(1e-19), math.Log(1e-6))
		set(f.hand+1, math.Log(1e-4), math.Log(10))
		set(f.hand+2, 0.1, 6)
	}
	if f.lead >= 0 {
		set(f.lead, -1e4, 1e4)
	}
	if f.drift >= 0 {
		set(f.drift, -1e3, 1e3)
	}
	for _, l := range f.lots {
		set(l.at, -30, 30)
	}
	for _, l := range f.places {
		set(l.at, -30, 30)
	}
	for i, k := range f.partAt {
		switch {
		case k >= 0 && f.parts[i].Known:
			set(k, -30, 30)
		case k >= 0:
			set(k, math.Log(1e-18), math.Log(1e-3))
		}
	}
	return lower, upper
}
