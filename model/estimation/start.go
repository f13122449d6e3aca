package estimation

import (
	"math"

	"fitcoil/model/forward"
	"fitcoil/model/readings"
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
