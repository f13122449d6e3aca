package model

import "math"

// ordinary is the capacitance [F] of a slim coil, for want of anything better.
const ordinary = 8e-12

// start returns a point to begin the fit from. It takes the lumped picture,
// 1/ω² = L·(C + added), which is off by per cents but never far off: straight
// lines through the readings give every unknown in turn. From plain readings in
// air, coil and share are then those of a line.
func (p *problem) start(log Log) []float64 {
	x := make([]float64, p.n)
	x[atC] = math.Log(ordinary)
	if p.share >= 0 {
		x[p.share] = shareMean
	}
	for _, c := range p.cores {
		x[c.at] = math.Log(2)
	}
	if p.hand >= 0 {
		x[p.hand], x[p.hand+1], x[p.hand+2] = math.Log(3e-13), math.Log(offsetMean), exponentMean
	}
	for i, k := range p.partAt {
		if k >= 0 && !p.parts[i].Known {
			x[k] = math.Log(3e-12)
		}
	}
	p.startCoil(log, x)
	p.startCores(log, x)
	p.startParts(log, x)
	p.startHand(log, x)
	for i := range x {
		x[i] = math.Min(math.Max(x[i], p.Lower[i]), p.Upper[i])
	}
	return x
}

// plain tells whether a state has only parts of known value on the top.
func (p *problem) plain(s *State) bool {
	for _, i := range s.Parts {
		if !p.parts[i].Known {
			return false
		}
	}
	return math.IsInf(s.Hand, 1)
}

// lc returns the product of inductance and capacitance that a reading shows.
func lc(r *Reading) float64 {
	omega := 2 * math.Pi * r.Frequency
	return 1 / (omega * omega)
}

// own returns the coil's capacitance as the lumped picture sees it, with the full
// inductance [F].
func (f *forward) own(x []float64) float64 {
	omega, _ := f.plainLine(x)
	return math.Exp(x[atC]) / (omega * omega)
}

// startCoil finds L and C from the plain readings of the commonest core: the
// line 1/ω² against added capacitance.
func (p *problem) startCoil(log Log, x []float64) {
	use := make([]*Reading, 0, len(p.rows))
	count := map[string]int{}
	for _, i := range p.rows {
		if r := &log.Readings[i]; p.plain(&r.State) {
			use = append(use, r)
			count[r.Core]++
		}
	}
	if len(use) == 0 {
		for _, i := range p.rows {
			use = append(use, &log.Readings[i])
			count[log.Readings[i].Core]++
		}
	}
	core, most := "", count[""]
	if most < 2 {
		for _, c := range p.cores {
			if count[c.name] > most {
				core, most = c.name, count[c.name]
			}
		}
	}
	var n, sc, sy, scc, scy float64
	for _, r := range use {
		if r.Core != core {
			continue
		}
		c, y := p.added(x, &r.State), lc(r)
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
	x[atC] += math.Log(own / p.own(x))
	x[atL] = math.Log(slope)
	if core == "" && p.share >= 0 {
		p.startLine(use, x)
	}
	if k := p.core(core); k != nil {
		x[atL] -= x[k.at]
	}
}

// startLine gives the lumped picture of the plain readings up for a line's.
func (p *problem) startLine(use []*Reading, x []float64) {
	readings := make([]plainReading, 0, len(use))
	for _, r := range use {
		if r.Core == "" && p.plain(&r.State) {
			w := 0.5 * r.Frequency / r.Uncertainty
			readings = append(readings, plainReading{p.added(x, &r.State), lc(r), w * w})
		}
	}
	s := lineStart{math.Exp(x[atL]), math.Exp(x[atC]), x[p.share]}
	if s.refine(readings) {
		x[atL], x[atC], x[p.share] = math.Log(s.l), math.Log(s.c), s.share
	}
}

// mean averages the positive values that what gives for the used readings.
func (p *problem) mean(log Log, what func(r *Reading) (v float64, ok bool)) (v float64, ok bool) {
	var sum, n float64
	for _, i := range p.rows {
		if v, ok := what(&log.Readings[i]); ok && v > 0 && !math.IsInf(v, 1) {
			sum += v
			n++
		}
	}
	return sum / n, n > 0
}

func (p *problem) startCores(log Log, x []float64) {
	l, c := math.Exp(x[atL]), p.own(x)
	for _, core := range p.cores {
		rise, ok := p.mean(log, func(r *Reading) (float64, bool) {
			ratio := lc(r) / (l * (c + p.added(x, &r.State)))
			return 1 + (ratio-1)/(r.To-r.From), r.Core == core.name && p.plain(&r.State)
		})
		if ok {
			x[core.at] = math.Log(math.Max(rise, 1.02))
		}
	}
}

// surplus returns the capacitance that a reading shows beyond the coil's own.
func (p *problem) surplus(x []float64, r *Reading) float64 {
	l := math.Exp(x[atL])
	if k := p.core(r.Core); k != nil && r.Core != "" {
		l *= 1 + (math.Exp(x[k.at])-1)*(r.To-r.From)
	}
	return lc(r)/l - p.own(x)
}

func (p *problem) startParts(log Log, x []float64) {
	with := map[int][]*Reading{}
	for _, i := range p.rows {
		r := &log.Readings[i]
		for _, j := range r.Parts {
			if !p.parts[j].Known && math.IsInf(r.Hand, 1) && (len(with[j]) == 0 || with[j][len(with[j])-1] != r) {
				with[j] = append(with[j], r)
			}
		}
	}
	for i, k := range p.partAt {
		var sum, n float64
		for _, r := range with[i] {
			c := p.surplus(x, r)
			for _, j := range r.Parts {
				if j != i {
					c -= p.part(x, j)
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

func (p *problem) startHand(log Log, x []float64) {
	if p.hand < 0 {
		return
	}
	c, ok := p.mean(log, func(r *Reading) (float64, bool) {
		near := p.surplus(x, r) - p.added(x, &r.State)
		return near * math.Pow((r.Hand+offsetMean)/(p.handScale+offsetMean), exponentMean), !math.IsInf(r.Hand, 1)
	})
	if ok {
		x[p.hand] = math.Log(c)
	}
}
