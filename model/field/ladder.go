package field

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Shape is what a Ladder has to know of a coil.
type Shape struct {
	Diameter, Length float64 // m, of the winding
	Height           float64 // m, of the grounded end above a grounded plane; 0: there is none
	Slices           int     // 0: 40

	// Core is what cores are made of: beads in any number, or a rod if Count
	// is 1. Start and Permeability are not used, since a Stretch tells them.
	// Without a Length it is taken for a rod that adds no capacitance, without
	// a Diameter for one of 0.75 winding diameters.
	Core Beads

	Primary Primary // see Mode.Coupling; without one, a turn around the grounded end is taken

	Insulators []Tube // former and coating: Coil.Insulators
	Metal
}

// Shape returns what a ladder has to know of c.
func (c Coil) Shape() Shape {
	return Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Core: c.Beads, Primary: c.Primary,
		Insulators: c.Insulators(), Metal: c.Metal}
}

// Ladder is a winding cut into slices whose inductances and capacitances are
// coupled as those of a current sheet and a thin cylinder are, in any
// electrical state: a resonator for fits, which knows the shapes of all
// matrices and leaves their scales free.
//
// Several goroutines may use the same Ladder. It keeps what it has worked out of
// each place where a core was: some 50 kB.
type Ladder struct {
	shape Shape
	z     []float64         // m, ends of the slices
	whole float64           // H m², inductance of the whole, for a sheet of one turn per metre
	l     blas64.General    // inductances, in units of the whole
	c     blas64.General    // capacitances; a voltage that rises linearly finds 1/3, as in an even line of capacitance 1
	wound *charged          // the winding, insulators and metal
	metal *shorts           // nil where none is closed
	full  *pattern          // a core all along the winding
	own   float64           // F, what that core adds to the winding's capacitance
	row   []float64         // between primary and slices in air, in units of whole
	drawn bool              // the primary is: else one is taken to be at the grounded end
	mu    sync.Mutex        // guards cores
	cores map[span]*pattern // made at the first use
}

// span is where a core lies.
type span struct{ from, to, length float64 }

// State is a coil in one state, in electrical terms.
type State struct {
	Inductance  float64   // H, whole winding in air, for a current that is the same in all turns
	Capacitance float64   // F, of the winding: of the even line that stores as much under a linearly rising voltage
	Top         float64   // F, everything that hangs on the free end
	Cores       []Stretch // cores inside, not overlapping
}

// Stretch is a core that covers part of a winding. With beads, a stretch has
// half a gap at either end.
type Stretch struct {
	From, To    float64 // covered fraction of the winding, 0 = grounded end, 1 = top
	Length      float64 // m, of the whole core, which sticks out from the end that it covers; 0: as long as the stretch
	Gain        float64 // factor on the inductance when a core of this make covers the whole winding and no more
	Capacitance float64 // F, what the core adds beyond its polarisation, spread evenly along the stretch
}

// NewLadder prepares a ladder. It fails for lengths that aren't above zero and
// a core that doesn't fit.
func NewLadder(s Shape) (*Ladder, error) {
	if s.Slices == 0 {
		s.Slices = 40 // what Predict would have of more, a fit has in its inductance and capacitance
	}
	if s.Core.Diameter == 0 {
		s.Core.Diameter = 0.75 * s.Diameter // our choice; what it errs by is in resonator.PartlyGuessed
	}
	if !(s.Diameter > 0 && s.Length > 0 && s.Slices > 0) {
		return nil, impossible(NoWinding)
	}
	if !(s.Core.Diameter > 0 && s.Core.Diameter < s.Diameter && s.Core.Length >= 0 && s.Core.Spacing >= 0) {
		return nil, impossible(BeadsTooThick, s.Core.Diameter, s.Diameter)
	}
	if err := (Coil{Diameter: s.Diameter, Length: s.Length, Height: s.Height, Beads: s.Core}).CheckSizes(); err != nil {
		return nil, err
	}
	if err := s.Primary.check(s.Core); err != nil {
		return nil, err
	}
	coil := Coil{Turns: 1, Diameter: s.Diameter, Length: s.Length, Height: s.Height, Metal: s.Metal, Primary: s.Primary}
	l := &Ladder{shape: s, z: coil.ends(s.Slices), cores: map[span]*pattern{}}
	if err := coil.checkMetal(); err != nil {
		return nil, err
	}
	if l.drawn = s.Primary.Turns > 0; !l.drawn {
		l.shape.Primary = atFoot(s.Diameter)
	}
	if err := l.magnetic(); err != nil {
		return nil, err
	}
	return l, l.electric(coil)
}

// magnetic works out l's inductances.
func (l *Ladder) magnetic() (err error) {
	s := &l.shape
	if l.metal, err = s.shorts(s.Diameter, l.z, s.Primary); err != nil {
		return err
	}
	m := magnetic{l: SliceInductance(s.Length, s.Diameter, s.Length, s.Slices), row: s.Primary.row(s.Diameter, l.z)}
	if l.metal != nil {
		m.add(l.metal.takes(), 1, -1)
	}
	l.whole = m.inductance()
	m.l.ScaleSym(1/l.whole, m.l)
	floats.Scale(1/l.whole, m.row)
	l.l, l.row = whole(m.l), m.row
	return nil
}

// electric works out l's capacitances and the patterns of a core all along.
func (l *Ladder) electric(coil Coil) (err error) {
	r := normal()
	if l.wound, err = coil.electrodes(l.shape.Slices, math.Inf(1), r).solve(); err != nil {
		return err
	}
	if err = l.wound.insulate(shells(l.shape.Insulators, coil.bands(l.shape.Slices, r))); err != nil {
		return err
	}
	c := l.wound.maxwell()
	c.ScaleSym(1/evenCapacitance(c, l.z), c)
	l.c = whole(c)

	l.full, err = l.newPattern(span{from: 0, to: 1})
	if err == nil && l.full.c.Data != nil {
		l.own = evenCapacitance(mat.NewSymDense(l.shape.Slices, l.full.c.Data), l.z)
	}
	return err
}

// CoreCapacitance returns what a core all along the winding adds to
// State.Capacitance by its polarisation [F], whatever else Stretch.Capacitance adds;
// zero where the core's make isn't known.
func (l *Ladder) CoreCapacitance() float64 { return l.own }

// DrawsPrimary tells whether the ladder knows of a primary.
func (l *Ladder) DrawsPrimary() bool { return l.drawn }

// LeastTop is the share of the winding's capacitance by which the top's may be below zero on
// the way to a solution: where a clip in each reading is taken for less than nothing. Our choice.
const LeastTop = 0.25

// Resonate finds the lowest resonance of the coil in state s and writes it to
// m. Every number is NaN where there is none.
func (l *Ladder) Resonate(s State, m *Mode) {
	n := l.shape.Slices
	m.reset(n)
	if len(m.loads) < len(s.Cores) {
		m.loads = make([]load, len(s.Cores))
		m.Cores = make([]CoreShare, len(s.Cores))
	}
	m.Cores = m.Cores[:len(s.Cores)]
	if !(s.Inductance > 0 && s.Capacitance >= 0 && s.Top >= -LeastTop*s.Capacitance) {
		m.void()
		return
	}
	loads := m.loads[:len(s.Cores)]
	clear(m.slices)
	for i, core := range s.Cores {
		p := l.pattern(core)
		if p == nil || !(core.Gain > 0) || math.IsInf(core.Gain, 1) {
			m.void()
			return
		}
		loads[i].set(p, l.full, core.Gain)
		for k := range m.slices {
			m.slices[k] += core.Capacitance * core.share(k, n)
		}
	}
	m.settle(func(q, v []float64) {
		even(q, m.slices, v)
		blas64.Gemv(blas.NoTrans, s.Capacitance, l.c, vector(v), 1, vector(q))
		for i := range loads {
			if c := loads[i].c; c.Data != nil {
				blas64.Gemv(blas.NoTrans, 1, c, vector(v), 1, vector(q))
			}
		}
		q[n-1] += s.Top * v[n-1]
	}, func(phi, i []float64) {
		blas64.Gemv(blas.NoTrans, 1, l.l, vector(i), 0, vector(phi))
		for k := range loads {
			loads[k].flux(phi, i)
		}
	})
	if m.Omega /= math.Sqrt(s.Inductance); !(m.Omega > 0) || math.IsInf(m.Omega, 1) {
		m.void()
		return
	}
	if l.row != nil {
		m.Coupling = l.coupling(m, loads)
	}
	l.shares(s, m)
}

// coupling returns the ratio of the couplings by the mode and of the windings, with the
// cores of loads:
//
//	|Σ M_j i_j| / |Σ M_j| × √(ΣΣ L / ΣΣ i L i)
func (l *Ladder) coupling(m *Mode, loads []load) float64 {
	inMode, even, whole := blas64.Dot(vector(l.row), vector(m.Current)), floats.Sum(l.row), 1.0
	for i := range loads {
		p := &loads[i]
		blas64.Gemv(blas.NoTrans, 1, p.b.RawMatrix(), vector(m.Current), 0, vector(p.along))
		for k, w := range p.weight {
			inMode += w * p.pri[k] * p.along[k]
			even += w * p.pri[k] * p.sums[k]
			whole += w * p.sums[k] * p.sums[k]
		}
	}
	return math.Abs(inMode/even) * math.Sqrt(whole/m.magnetic)
}

// shares writes the sensitivities: at resonance the mean electric and magnetic
// energies are equal, and a change of an element shifts ω by its share of
// them: ∂ln ω/∂ln L_i = −½ W_M,i/W_M, and the same with W_E for a capacitance
// (Rayleigh's principle; The Theory of Sound, 2nd ed., vol. 1, §§ 88-90).
func (l *Ladder) shares(s State, m *Mode) {
	n := l.shape.Slices
	blas64.Gemv(blas.NoTrans, m.PerTop, l.c, vector(m.Voltage), 0, vector(m.flux))
	m.PerWinding = blas64.Dot(vector(m.flux), vector(m.Voltage))
	for i, core := range s.Cores {
		below, energy := 0.0, 0.0
		for k, v := range m.Voltage {
			energy += core.share(k, n) * (5*below*below + 2*below*v + 5*v*v) / 12
			below = v
		}
		m.Cores[i] = CoreShare{
			PerGain:        -0.5 * core.Gain * m.loads[i].energy(m.Current) / m.magnetic,
			PerCapacitance: m.PerTop * energy,
		}
	}
	m.finish()
}

// share returns the part of a stretch that lies in slice k of n.
func (c Stretch) share(k, n int) float64 {
	lo := math.Max(c.From, float64(k)/float64(n))
	hi := math.Min(c.To, float64(k+1)/float64(n))
	return math.Max(0, hi-lo) / (c.To - c.From)
}

// even writes the charges at the slices' upper ends for the voltages v there,
// of capacitances c spread evenly along the slices. Concentrated at the ends of
// a slice they make ω low by θ²/24n², spread under a linear voltage high by as
// much. The mean of both leaves an error at a loaded end only, 1e-5 of ω with
// 40 slices.
func even(q, c, v []float64) {
	clear(q)
	below := 0.0
	for k, ck := range c {
		if k > 0 {
			q[k-1] += ck * (5*below + v[k]) / 12
		}
		q[k] += ck * (below + 5*v[k]) / 12
		below = v[k]
	}
}

// pattern returns the pattern of a core, nil when there can't be one.
func (l *Ladder) pattern(c Stretch) *pattern {
	key := span{c.From, c.To, c.Length}
	l.mu.Lock()
	defer l.mu.Unlock()
	p, ok := l.cores[key]
	if !ok {
		p, _ = l.newPattern(key) // nil on failure
		l.cores[key] = p
	}
	return p
}

// newPattern makes the pattern of a core.
func (l *Ladder) newPattern(at span) (*pattern, error) {
	if !(at.from >= 0 && at.to <= 1+1e-9 && at.from < at.to) {
		return nil, impossible(StretchOutside)
	}
	bottom, top := at.from*l.shape.Length, at.to*l.shape.Length
	if rest := at.length - (top - bottom); rest > 0 {
		switch {
		case at.from > 0 && at.to == 1:
			top += rest
		case at.from == 0 && at.to < 1:
			bottom -= rest
		default:
			bottom, top = bottom-rest/2, top+rest/2
		}
	}
	bottom, top = l.shape.within(bottom, top)
	m := newBody(l.shape.Core.filling(bottom, top), rough())
	d, err := m.driven(l.shape.Diameter, l.z, l.shape.Primary, l.metal)
	if err != nil {
		return nil, err
	}
	p, err := newPattern(m, d, l.whole)
	if err != nil || l.shape.Core.Length == 0 {
		return p, err
	}
	c, err := l.wound.core(m)
	if c != nil {
		p.c = whole(c)
	}
	return p, err
}

// whole returns both halves of a symmetric matrix: products with it are several
// times faster than with one half.
func whole(s *mat.SymDense) blas64.General { return mat.DenseCopyOf(s).RawMatrix() }

// within returns the part of a core between two heights [m] that is on the coil's side of
// plate, floor and lid: what is beyond them is screened from the winding.
func (s *Shape) within(low, high float64) (float64, float64) {
	margin := 0.02 * s.Diameter // our choice: a core that touches a conductor can't be computed
	if b := s.Box; b.Diameter > 0 {
		low, high = math.Max(low, b.Bottom+margin), math.Min(high, b.Top-margin)
	}
	if p := s.Plate; p.Diameter > 0 && p.Hole < s.Core.Diameter {
		if p.Height < 0 {
			low = math.Max(low, p.Height+margin)
		} else {
			high = math.Min(high, p.Height-margin)
		}
	}
	return low, high
}

// evenCapacitance returns the capacitance of an even line that stores as much as c,
// of slices with the given ends, under a linearly rising voltage [F].
func evenCapacitance(c *mat.SymDense, ends []float64) float64 {
	n := c.SymmetricDim()
	sum := 0.0
	for i := range n {
		for k := range n {
			sum += ends[i+1] * c.At(i, k) * ends[k+1]
		}
	}
	return 3 * sum / (ends[n] * ends[n])
}
