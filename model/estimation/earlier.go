package estimation

import (
	"iter"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Earlier is what an earlier session read of the coil: frequencies of states with their
// covariance, from which its drift and what its readings had in common are taken out. Priors,
// tolerances and a drawing are no part of it, since the later fit states them itself: nothing
// counts twice.
type Earlier struct {
	Log      string             // name of the log
	SHA256   string             // of its bytes
	Scale    float64            // by which its scatter has enlarged the uncertainties
	Checked  float64            // redundancy that this comes from
	Squares  float64            // by which its readings have raised χ²
	Freedom  float64            // and the degrees of freedom
	States   []readings.State   // Parts are indexes of Parts
	Hertz    []float64          // frequency of each state
	Relative []float64          // its own relative standard uncertainty
	Shared   [][]float64        // errors in common: the relative standard uncertainty of each state by one
	Parts    []readings.Part    // as they were stated
	Known    []quantities.Known // values that the session was told
	NewBench bool               // the coil stands on another bench now: what is on its top may differ

	root []float64 // see fit.Whiten
}

// earlier is what s has of earlier sessions for its unknowns.
func (s *Session) earlier() (e forward.Earlier) {
	for i := range s.Earlier {
		e.States = append(e.States, s.Earlier[i].States...)
		if s.Earlier[i].NewBench {
			e.Benches++
		}
	}
	return e
}

// StatesRead lists the states of the readings used, and of those of earlier sessions.
func (s *Session) StatesRead() iter.Seq[*readings.State] {
	return func(yield func(*readings.State) bool) {
		for state := range s.Log.Used() {
			if !yield(state) {
				return
			}
		}
		for i := range s.Earlier {
			for k := range s.Earlier[i].States {
				if !yield(&s.Earlier[i].States[k]) {
					return
				}
			}
		}
	}
}

// Follow has s follow an earlier session, whose parts and cores go by the names of this one:
// parts that the log of s doesn't have join it, as they were stated then, and so does the value
// of one that has none here. Known values join those of s, one that both have only once.
func (s *Session) Follow(e Earlier) {
	s.Log.Parts = slices.Clone(s.Log.Parts)
	index := make([]int, len(e.Parts))
	for i, part := range e.Parts {
		at := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == part.Name })
		switch {
		case at < 0:
			at = len(s.Log.Parts)
			s.Log.Parts = append(s.Log.Parts, part)
		case !s.Log.Parts[at].Known:
			s.Log.Parts[at] = part
		}
		index[i] = at
	}
	e.States = slices.Clone(e.States)
	for i := range e.States {
		list := make([]int, len(e.States[i].Parts))
		for k, p := range e.States[i].Parts {
			list[k] = index[p]
		}
		e.States[i].Parts = list
	}
	for _, k := range e.Known {
		if !slices.Contains(s.Known, k) {
			s.Known = append(slices.Clip(s.Known), k)
		}
	}
	e.root = e.whiten()
	s.Earlier = append(slices.Clip(s.Earlier), e)
}

// whiten returns the triangle that makes standardised residuals of ln f.
func (e *Earlier) whiten() []float64 {
	n := len(e.States)
	v := make([]float64, n*n)
	for i := range n {
		v[i*n+i] = e.Relative[i] * e.Relative[i]
		for k := range n {
			for _, s := range e.Shared {
				v[i*n+k] += s[i] * s[k]
			}
		}
	}
	w, ok := fit.Whiten(v, n)
	if !ok { // but for rounding there always is one
		w = make([]float64, n*n)
		for i := range n {
			w[i*n+i] = 1 / math.Sqrt(v[i*n+i])
		}
	}
	return w
}

// earlierRows returns the rows of earlier sessions.
func (p *Problem) earlierRows() fit.Rows {
	var all fit.Rows
	for i := range p.Earlier {
		all.N += len(p.Earlier[i].States)
	}
	if p.Owned > 0 {
		all.Own = slices.Repeat([]int{-1}, all.N)
	}
	all.Evaluate = func(x []float64, first int, r, jac []float64) {
		stray := 0
		for i := range p.Earlier {
			e := &p.Earlier[i]
			at := -1
			if e.NewBench {
				at = p.Strays[stray]
				stray++
			}
			n := len(e.States)
			from, to := max(first, 0), min(first+len(r), n)
			if from < to {
				m := to - from
				var head []float64
				if jac != nil {
					head, jac = jac[:m*p.Width()], jac[m*p.Width():]
				}
				p.earlierBlock(e, at, x, from, r[:m], head)
				r = r[m:]
				first += m
			}
			first -= n
		}
	}
	return all
}

// earlierBlock writes rows first … of one earlier session, whose bench has its unknown at
// stray, −1 for the present bench.
func (p *Problem) earlierBlock(e *Earlier, stray int, x []float64, first int, r, jac []float64) {
	n, width := len(e.States), p.Width()
	clear(r)
	clear(jac)
	grad := make([]float64, width)
	for k := range first + len(r) {
		s := e.States[k]
		if stray >= 0 {
			s.Exact += forward.StraySigma * x[stray]
		}
		f := p.Ideal(x, &s, grad)
		if stray >= 0 {
			grad[stray] = forward.StraySigma * p.Resonance.PerTop
		}
		off := math.Log(e.Hertz[k] / f)
		for i := max(0, k-first); i < len(r); i++ {
			w := e.root[(first+i)*n+k]
			r[i] += w * off
			if jac != nil && w != 0 {
				row := jac[i*width:][:width]
				for j, g := range grad {
					row[j] -= w * g
				}
			}
		}
	}
}

// beside returns p and its log with the readings of earlier sessions among them, to start from.
func (p *Problem) beside(log readings.Log) (*Problem, readings.Log) {
	if p.Earlier == nil {
		return p, log
	}
	q := *p
	q.Rows, log.Readings = slices.Clone(p.Rows), slices.Clone(log.Readings)
	for i := range p.Earlier {
		e := &p.Earlier[i]
		for k, s := range e.States {
			q.Rows = append(q.Rows, len(log.Readings))
			log.Readings = append(log.Readings, readings.Reading{State: s, Frequency: e.Hertz[k], Uncertainty: e.Hertz[k] * e.Relative[k], Use: true})
		}
	}
	return &q, log
}

// ofScatter is the part of the uncertain scatter of readings in the formula of Welch and
// Satterthwaite. Where no session scatters more than stated, all of them together check that;
// each one that does has its own factor.
func (r *Result) ofScatter(b quantities.Budget) (inverse float64) {
	if r.Problem.Earlier == nil {
		return b.Readings * b.Readings / r.Solution.ScaleDegrees
	}
	least, together, enlarged := math.Inf(1), r.Scatter.Redundancy, r.Scatter.Scale
	for i := range r.Problem.Earlier {
		e := &r.Problem.Earlier[i]
		together += e.Checked
		enlarged = math.Max(enlarged, e.Scale)
		least = math.Min(least, fit.Trusted(e.Scale, math.Max(e.Checked, 1)))
	}
	if enlarged > 1 {
		return b.Readings*b.Readings/r.Solution.ScaleDegrees + b.Earlier*b.Earlier/least
	}
	share := b.Readings + b.Earlier
	return share * share / fit.Trusted(1, math.Max(together, 1))
}

// earlierOf returns the earlier session that prior row i comes from.
func (p *Problem) earlierOf(i int) *Earlier {
	i -= slices.Index(p.Origins, FromEarlier)
	k := 0
	for i >= len(p.Earlier[k].States) {
		i -= len(p.Earlier[k].States)
		k++
	}
	return &p.Earlier[k]
}

// named lists cores and parts that e read.
func (e *Earlier) named() (names []string) {
	for i := range e.States {
		if core := e.States[i].Core; core != "" && !slices.Contains(names, core) {
			names = append(names, core)
		}
	}
	for _, p := range e.Parts {
		names = append(names, p.Name)
	}
	return names
}
