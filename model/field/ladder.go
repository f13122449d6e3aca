package field

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// Shape is what a Ladder has to know of a coil.
type Shape struct {
	Diameter, Length float64 // m, of the winding
	Core             Beads   // what all cores are made of; diameter 0: 0.8 winding diameters, length 0: one solid rod
	Slices           int     // 0: 40
}

// Ladder is a winding cut into slices whose inductances are coupled as those
// of a current sheet are, in any electrical state: a resonator for fits, which
// knows the shape of all matrices and leaves their scales free.
//
// The same Ladder may be used by several goroutines.
type Ladder struct {
	shape Shape
	l     []float64 // slices × slices, in units of the whole
	c     blas64.Symmetric
	full  *pattern // of a core all along the winding
	mu    sync.Mutex
	cores map[span]*pattern
}

type span struct{ from, to, length float64 }

// State is a coil in one state, in electrical terms.
type State struct {
	Inductance  float64   // H, whole winding in air, for a current that is the same in all turns
	Capacitance float64   // F, spread evenly along the winding
	Top         float64   // F, everything that hangs on the free end
	Cores       []Stretch // cores inside, not overlapping
}

// Stretch is a core that covers part of a winding.
type Stretch struct {
	From, To    float64 // covered fraction of the winding, 0 = grounded end, 1 = top
	Length      float64 // m, of the whole core, which protrudes from the end that it reaches; 0: as long as what it covers
	Gain        float64 // of the inductance, if the same core covered the whole winding and no more
	Capacitance float64 // F, what the core adds, spread evenly along the stretch
}

// NewLadder prepares a ladder.
func NewLadder(s Shape) (*Ladder, error) {
	if s.Slices == 0 {
		s.Slices = 40
	}
	if s.Core.Diameter == 0 {
		s.Core.Diameter = 0.8 * s.Diameter
	}
	if !(s.Diameter > 0 && s.Length > 0 && s.Core.Diameter < s.Diameter) {
		return nil, fmt.Errorf("winding of %g m diameter and %g m length with a core of %g m: expected lengths above zero and a core that fits", s.Diameter, s.Length, s.Core.Diameter)
	}
	n := s.Slices
	l := &Ladder{shape: s, l: make([]float64, n*n), cores: map[span]*pattern{}}
	row := sliceRow(s.Diameter, s.Length/float64(n), n)
	whole := sheetSelf(s.Diameter, s.Length)
	for i := range n {
		for j := range n {
			l.l[i*n+j] = row[max(i-j, j-i)] / whole
		}
	}
	var err error
	l.full, err = l.newPattern(0, s.Length)
	if err != nil {
		return nil, err
	}
	c, err := Coil{Turns: 1, Diameter: s.Diameter, Length: s.Length}.capacitance(n, math.Inf(1), coarse)
	if err != nil {
		return nil, err
	}
	sum := 0.0
	for i := range n {
		for j := range n {
			sum += c.At(i, j) * float64((i+1)*(j+1)) / float64(n*n)
		}
	}
	c.ScaleSym(1/(3*sum), c)
	l.c = c.RawSymmetric()
	return l, nil
}

var PatRes = resolution{edge: 0.1, growth: 2, most: .25, rings: 2}

func (l *Ladder) newPattern(bottom, top float64) (*pattern, error) {
	s := l.shape
	b := Beads{Diameter: s.Core.Diameter, Length: top - bottom, Count: 1, Start: bottom}
	if pitch := s.Core.Length + s.Core.Spacing; s.Core.Length > 0 {
		b.Count = max(1, int(math.Round((top-bottom)/pitch)))
		pitch = (top - bottom) / float64(b.Count)
		b.Spacing = s.Core.Spacing
		b.Length = pitch - b.Spacing
		b.Start += b.Spacing / 2
	}
	return newPattern(newMagnet(b, PatRes), s.Diameter, s.Length, s.Slices)
}

// pattern returns the pattern of a core, made at the first use.
func (l *Ladder) pattern(c Stretch) *pattern {
	key := span{c.From, c.To, c.Length}
	l.mu.Lock()
	defer l.mu.Unlock()
	if p, ok := l.cores[key]; ok {
		return p
	}
	s := l.shape
	bottom, top := c.From*s.Length, c.To*s.Length
	if rest := c.Length - (top - bottom); rest > 0 {
		switch {
		case c.From <= 0 && c.To >= 1:
			bottom, top = bottom-rest/2, top+rest/2
		case c.From <= 0:
			bottom -= rest
		case c.To >= 1:
			top += rest
		}
	}
	p, err := l.newPattern(bottom, top)
	if err != nil {
		p = nil
	}
	l.cores[key] = p
	return p
}

// Resonate finds the lowest resonance of the coil in state s and writes it to
// m. Every quantity is NaN where there is none.
func (l *Ladder) Resonate(s State, m *Mode) {
	n := l.shape.Slices
	m.reset(n)
	if cap(m.Cores) < len(s.Cores) {
		m.Cores = make([]CoreShare, len(s.Cores))
		m.loads = make([]load, len(s.Cores))
	}
	m.Cores, m.loads = m.Cores[:len(s.Cores)], m.loads[:len(s.Cores)]
	for i, c := range s.Cores {
		m.loads[i].set(l.pattern(c), l.full, c.Gain)
	}
	c := m.slices
	for k := range c {
		c[k] = s.Capacitance / float64(n)
	}
	for _, core := range s.Cores {
		for k := range c {
			c[k] += core.Capacitance * overlap(core, k, n)
		}
	}
	clear(c)
	for _, core := range s.Cores {
		for k := range c {
			c[k] += core.Capacitance * overlap(core, k, n)
		}
	}
	m.settle(func(q, v []float64) {
		chargeSlices(q, c, v)
		blas64.Symv(s.Capacitance, l.c, vector(v), 1, vector(q))
		q[n-1] += s.Top * v[n-1]
	}, func(phi, i []float64) {
		blas64.Symv(1, blas64.Symmetric{N: n, Stride: n, Data: l.l, Uplo: blas.Upper}, vector(i), 0, vector(phi))
		for k := range m.loads {
			m.loads[k].add(phi, i)
		}
	})
	m.Omega /= math.Sqrt(s.Inductance)
	l.shares(s, m)
}

func vector(x []float64) blas64.Vector { return blas64.Vector{N: len(x), Inc: 1, Data: x} }

// overlap returns the share of a core's stretch that lies in slice k of n.
func overlap(c Stretch, k, n int) float64 {
	lo := math.Max(c.From, float64(k)/float64(n))
	hi := math.Min(c.To, float64(k+1)/float64(n))
	return math.Max(0, hi-lo) / (c.To - c.From)
}

// chargeSlices writes the charges at the slices' upper ends for the voltages v
// there, of slices with capacitances c. Concentrating a slice's capacitance at
// its ends makes ω low by θ²/24n², spreading it under a linear voltage high by
// as much: the mean of both is of fourth order.
func chargeSlices(q, c, v []float64) {
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

func (l *Ladder) shares(s State, m *Mode) {
	n := l.shape.Slices
	electric := m.Capacitance
	m.PerTop = -0.5 / electric
	m.PerWinding = 0
	below := 0.0
	c := m.slices
	for k, v := range m.Voltage {
		c[k] = (5*below*below + 2*below*v + 5*v*v) / 12
		m.PerWinding += c[k]
		below = v
	}
	m.PerWinding *= -0.5 / electric / float64(n)
	for i, core := range s.Cores {
		sum := 0.0
		for k := range c {
			sum += c[k] * overlap(core, k, n)
		}
		m.Cores[i] = CoreShare{
			PerGain:        -0.5 * core.Gain * m.loads[i].perGain(m.Current) / m.magnetic,
			PerCapacitance: -0.5 * sum / electric,
		}
	}
}

// load is a core's pattern at one gain.
type load struct {
	p       *pattern
	weight  []float64 // 1/(κ+n)
	coupled []float64
	slope   float64 // Σ of the full pattern's s²/(κ+n)²
	kappa   float64
}

func (c *load) set(p, full *pattern, g float64) {
	c.p = p
	k := len(p.n)
	if cap(c.weight) < k {
		c.weight, c.coupled = make([]float64, k), make([]float64, k)
	}
	c.weight, c.coupled = c.weight[:k], c.coupled[:k]
	c.kappa = full.kappa(g)
	for i, n := range p.n {
		c.weight[i] = 1 / (c.kappa + n)
	}
	_, c.slope = full.gain(c.kappa)
	if math.IsInf(c.kappa, 1) {
		c.slope = 0
		for _, s := range full.sums {
			c.slope -= s * s
		}
	}
}

// add adds the flux of the core's magnetisation.
func (c *load) add(phi, i []float64) {
	b := c.p.b.RawMatrix()
	blas64.Gemv(blas.NoTrans, 1, b, vector(i), 0, vector(c.coupled))
	for k := range c.coupled {
		c.coupled[k] *= c.weight[k]
	}
	blas64.Gemv(blas.Trans, 1, b, vector(c.coupled), 1, vector(phi))
}

// perGain returns iᵀ ∂ΔL/∂g i.
func (c *load) perGain(i []float64) float64 {
	b := c.p.b.RawMatrix()
	blas64.Gemv(blas.NoTrans, 1, b, vector(i), 0, vector(c.coupled))
	sum := 0.0
	for k, x := range c.coupled {
		w := c.weight[k]
		if math.IsInf(c.kappa, 1) {
			w = 1
		}
		sum += x * x * w * w
	}
	return sum / -c.slope
}
