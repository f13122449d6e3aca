package estimation

import (
	"math"

	"fitcoil/model/coupling"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// ordinary is the capacitance [F] of a slim coil, for want of anything better.
const ordinary = 8e-12

// Start returns a point to begin the fit from. It takes the lumped picture,
// 1/ω² = L·(C + added), which is off by per cents but never far off: straight
// lines through the readings, earlier sessions' among them, give every unknown in turn. From plain readings in
// air, coil and share are then those of a line.
func (p *Problem) Start(log readings.Log) []float64 {
	p, log = p.beside(log)
	x := make([]float64, p.N)
	x[forward.AtC] = math.Log(ordinary)
	if p.Share >= 0 {
		x[p.Share] = shareMean
	}
	for _, c := range p.Cores {
		x[c.At] = math.Log(2)
	}
	if p.Hand >= 0 {
		x[p.Hand], x[p.Hand+1], x[p.Hand+2] = math.Log(3e-13), math.Log(offsetMean), exponentMean
	}
	for i, k := range p.PartAt {
		if k >= 0 && !p.Parts[i].Known {
			x[k] = math.Log(3e-12)
		}
	}
	p.startCoil(log, x)
	p.startCores(log, x)
	p.startParts(log, x)
	p.startHand(log, x)
	p.startCouplings(log, x)
	for i := range x {
		x[i] = math.Min(math.Max(x[i], p.Lower[i]), p.Upper[i])
	}
	return x
}

// lc returns the product of inductance and capacitance that a reading shows.
func lc(r *readings.Reading) float64 {
	omega := 2 * math.Pi * r.Frequency
	return 1 / (omega * omega)
}

// startCoil finds L and C from the plain readings of the commonest core: the
// line 1/ω² against added capacitance.
func (p *Problem) startCoil(log readings.Log, x []float64) {
	use := make([]*readings.Reading, 0, len(p.Rows))
	count := map[string]int{}
	for _, i := range p.Rows {
		if r := &log.Readings[i]; p.Plain(&r.State) {
			use = append(use, r)
			count[r.Core]++
		}
	}
	if len(use) == 0 {
		for _, i := range p.Rows {
			use = append(use, &log.Readings[i])
			count[log.Readings[i].Core]++
		}
	}
	core, most := "", count[""]
	if most < 2 {
		for _, c := range p.Cores {
			if count[c.Name] > most {
				core, most = c.Name, count[c.Name]
			}
		}
	}
	var n, sc, sy, scc, scy float64
	for _, r := range use {
		if r.Core != core {
			continue
		}
		c, y := p.Added(x, &r.State), lc(r)
		w := 1 / (y * y)
		n += w
		sc += w * c
		sy += w * y
		scc += w * c * c
		scy += w * c * y
	}
	slope := (n*scy - sc*sy) / (n*scc - sc*sc)
	own := (sy - slope*sc) / n / slope
	if !(slope > 0 && own > 0) || math.IsInf(slope, 0) || own > 1e-7 {
		own = ordinary
		slope = sy / (sc + n*own)
	}
	x[forward.AtC] += math.Log(own / p.LumpedCapacitance(x))
	x[forward.AtL] = math.Log(slope)
	if core == "" && p.Share >= 0 {
		p.startLine(use, x)
	}
	if k := p.Core(core); k != nil {
		x[forward.AtL] -= x[k.At]
	}
}

// startLine gives the lumped picture of the plain readings up for a line's.
func (p *Problem) startLine(use []*readings.Reading, x []float64) {
	readings := make([]plainReading, 0, len(use))
	for _, r := range use {
		if r.Core == "" && p.Plain(&r.State) {
			w := 0.5 * r.Frequency / r.Uncertainty
			readings = append(readings, plainReading{p.Added(x, &r.State), lc(r), w * w})
		}
	}
	s := lineStart{math.Exp(x[forward.AtL]), math.Exp(x[forward.AtC]), x[p.Share]}
	if s.refine(readings) {
		x[forward.AtL], x[forward.AtC], x[p.Share] = math.Log(s.l), math.Log(s.c), s.share
	}
}

func (p *Problem) startCores(log readings.Log, x []float64) {
	l, c := math.Exp(x[forward.AtL]), p.LumpedCapacitance(x)
	for _, core := range p.Cores {
		rise, ok := p.mean(log, func(r *readings.Reading) (float64, bool) {
			ratio := lc(r) / (l * (c + p.Added(x, &r.State)))
			return 1 + (ratio-1)/(r.To-r.From), r.Core == core.Name && p.Plain(&r.State)
		})
		if ok {
			x[core.At] = math.Log(math.Max(rise, 1.02))
		}
	}
}

// surplus returns the capacitance that a reading shows beyond the coil's own.
func (p *Problem) surplus(x []float64, r *readings.Reading) float64 {
	l := math.Exp(x[forward.AtL])
	if k := p.Core(r.Core); k != nil && r.Core != "" {
		l *= 1 + (math.Exp(x[k.At])-1)*(r.To-r.From)
	}
	return lc(r)/l - p.LumpedCapacitance(x)
}

func (p *Problem) startParts(log readings.Log, x []float64) {
	with := map[int][]*readings.Reading{}
	for _, i := range p.Rows {
		r := &log.Readings[i]
		for _, j := range r.Parts {
			if !p.Parts[j].Known && math.IsInf(r.Hand, 1) && r.Primary.Kind == readings.PrimaryOpen && (len(with[j]) == 0 || with[j][len(with[j])-1] != r) {
				with[j] = append(with[j], r)
			}
		}
	}
	for i, k := range p.PartAt {
		var sum, n float64
		for _, r := range with[i] {
			c := p.surplus(x, r)
			for _, j := range r.Parts {
				if j != i {
					c -= p.Part(x, j)
				}
			}
			if c > 0 && !math.IsInf(c, 1) {
				sum += c
				n++
			}
		}
		if k >= 0 && n > 0 {
			x[k] = math.Log(sum / n)
		}
	}
}

func (p *Problem) startHand(log readings.Log, x []float64) {
	if p.Hand < 0 {
		return
	}
	c, ok := p.mean(log, func(r *readings.Reading) (float64, bool) {
		near := p.surplus(x, r) - p.Added(x, &r.State)
		return near * math.Pow((r.Hand+offsetMean)/(p.HandScale+offsetMean), exponentMean), !math.IsInf(r.Hand, 1) && r.Primary.Kind == readings.PrimaryOpen
	})
	if ok {
		x[p.Hand] = math.Log(c)
	}
}

// startCouplings finds where to begin with the couplings, once all else has a start.
func (p *Problem) startCouplings(log readings.Log, x []float64) {
	for i := range p.Couplings {
		c := &p.Couplings[i]
		x[c.At] = couplingGuess
		rise, ok := p.mean(log, func(r *readings.Reading) (float64, bool) {
			return math.Log(r.Frequency / p.openFrequency(log, x, r)), r.Primary.Kind == readings.PrimaryShorted && p.Coupled(&r.State) == c
		})
		if ok {
			x[c.At] = rise
		}
		for _, t := range c.Tuned {
			x[t.At] = math.Log(p.Ideal(x, &readings.State{Core: c.Core, From: c.From, To: c.To, Hand: math.Inf(1)}, nil))
			p.startTuned(log, x, c, t, ok)
		}
	}
}

// couplingGuess is ln(f_short/f_open) where nothing is known: of k = 0.14.
const couplingGuess = 0.01

// couplingSigma is the standard uncertainty with which that stands where a fit doesn't
// converge without: couplings up to 0.25.
const couplingSigma = 0.02

// startTuned finds the primary's own frequency, and the coupling unless that is known,
// from the first pair of peaks.
func (p *Problem) startTuned(log readings.Log, x []float64, c *forward.CoupledUnknown, t forward.TunedUnknown, known bool) {
	var lower *readings.Reading
	for _, i := range p.Rows {
		r := &log.Readings[i]
		if r.Primary.Kind != readings.PrimaryTuned || p.Coupled(&r.State) != c || r.Primary.Capacitance != t.Farad {
			continue
		}
		if !r.Primary.Upper {
			lower = r
			continue
		}
		if lower == nil {
			continue
		}
		k, own := coupling.OfSplit(p.openFrequency(log, x, r), lower.Frequency, r.Frequency)
		if !quantities.Finite(k, own) || !(k > 0) {
			x[t.At] = (math.Log(lower.Frequency) + math.Log(r.Frequency)) / 2
			return
		}
		x[t.At] = math.Log(own)
		if !known {
			x[c.At] = -math.Log1p(-k*k) / 2
		}
		return
	}
}

// openFrequency returns the frequency of the state of r with the primary open: as read,
// or else as the model has it at x.
func (p *Problem) openFrequency(log readings.Log, x []float64, r *readings.Reading) float64 {
	open := r.State
	open.Primary = readings.Primary{}
	for _, i := range p.Rows {
		if o := &log.Readings[i]; readings.Same(&o.State, &open) {
			return o.Frequency
		}
	}
	return p.Ideal(x, &open, nil)
}

// mean averages the positive values that what gives for the used readings.
func (p *Problem) mean(log readings.Log, what func(r *readings.Reading) (v float64, ok bool)) (v float64, ok bool) {
	var sum, n float64
	for _, i := range p.Rows {
		if v, ok := what(&log.Readings[i]); ok && v > 0 && !math.IsInf(v, 1) {
			sum += v
			n++
		}
	}
	return sum / n, n > 0
}

// plainReading is what startLine goes by: capacitance added [F], 1/ω² [s²] and
// the inverse square of its relative standard uncertainty.
type plainReading struct{ added, lc, weight float64 }

// lineStart is a uniform line with its top load: inductance [H], capacitance of
// winding and top together [F], and the top's share of it.
type lineStart struct{ l, c, share float64 }

const startRounds = 5

// refine improves s by Gauss–Newton steps on the readings, with the frequency as
// uniformGuess has it: no sines, and near enough that the fit itself then needs
// few steps. It reports whether it came to anything.
func (s *lineStart) refine(readings []plainReading) bool {
	for range startRounds {
		// Normal equations of ln(1/ω²) in ln L, ln C and the share.
		var a [3][4]float64
		add := func(j1, j2, r, w float64) {
			row := [4]float64{1, j1, j2, r}
			for i := range 3 {
				for k := i; k < 4; k++ {
					a[i][k] += w * row[i] * row[k]
				}
			}
		}
		for _, r := range readings {
			whole := s.c + r.added
			t := (s.share*s.c + r.added) / whole
			square, slope := resonator.GuessSquare(t)
			add(s.c/whole*(1+slope*(s.share-t)), slope*s.c/whole, r.lc/(s.l*whole*square)-1, r.weight)
		}
		const w = 1 / (shareSigma * shareSigma)
		a[2][2] += w
		a[2][3] += w * (shareMean - s.share)
		step, ok := solve3(&a)
		if !ok || math.Abs(step[0]) > 1 || math.Abs(step[1]) > 1 {
			return false
		}
		s.l *= math.Exp(step[0])
		s.c *= math.Exp(step[1])
		s.share = math.Min(math.Max(s.share+step[2], 0.02), 0.98)
		if math.Abs(step[0])+math.Abs(step[1])+math.Abs(step[2]) < 1e-4 {
			break
		}
	}
	return true
}

// solve3 solves three normal equations, of which the upper triangle and the right
// side are given, by elimination; false where they are singular.
func solve3(a *[3][4]float64) (x [3]float64, ok bool) {
	for k := range 3 {
		whole := a[k][k]
		for i := range k {
			f := a[i][k] / a[i][i]
			for j := k; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
		if !(a[k][k] > 1e-12*whole) {
			return x, false
		}
	}
	for k := 2; k >= 0; k-- {
		x[k] = a[k][3]
		for j := k + 1; j < 3; j++ {
			x[k] -= a[k][j] * x[j]
		}
		x[k] /= a[k][k]
	}
	return x, true
}
