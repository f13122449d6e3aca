package ringing

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/stable"
)

// pieces are the stretches in which a candidate is loud, and their fits as far
// as they were made.
type pieces struct {
	list  []stretch
	tried []bool
	fits  []*ring // nil where there is no tone
	err   error   // of the first that failed
}

// rings fits the pieces in which a candidate is loud, and returns those that
// hold a tone in order of time, with the number of bursts that there are. When
// none does, the error is that of the loudest.
func (a *analysis) rings(c candidate) (rings []*ring, found int, err error) {
	list := a.bursts(c)
	p := &pieces{list: list, tried: make([]bool, len(list)), fits: make([]*ring, len(list))}
	a.first = -1
	if len(list) > 0 {
		a.first = list[0].from
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	stable.Sort(order, func(i, j int) int {
		return cmp.Compare(a.loudness(list[j]), a.loudness(list[i]))
	})
	for i, k := range order {
		if p.tried[k] = i >= mostBursts; i == 0 {
			a.piece(p, k, c)
		}
	}
	rings, found = a.join(p, c)
	rings = slices.DeleteFunc(rings, func(r *ring) bool { return r == nil })
	if len(rings) == 0 {
		if p.err == nil {
			p.err = &Refusal{Reason: TooFewCycles, Need: fewestCycles}
		}
		return nil, found, p.err
	}
	return rings, found, nil
}

// piece returns the fit of piece k.
func (a *analysis) piece(p *pieces, k int, c candidate) *ring {
	if !p.tried[k] {
		p.tried[k] = true
		cycles := float64(p.list[k].len()) * c.omega / (2 * math.Pi)
		r, err := (*ring)(nil), error(&Refusal{Reason: TooFewCycles, Got: cycles, Need: fewestCycles})
		if len(p.list) == 1 || cycles >= fewestCycles {
			r, err = a.ring(p.list[k], c)
		}
		if err == nil {
			p.fits[k] = r
		} else if p.err == nil {
			p.err = err
		}
		a.progress(0.2 + 0.6*float64(k+1)/float64(len(p.list)))
	}
	return p.fits[k]
}

// bursts finds where the tone sets in, first roughly, then to a quarter cycle.
func (a *analysis) bursts(c candidate) []stretch {
	y := a.signal.Samples
	e := follow(y, c)
	e.clipped = a.scan.clip.any()
	list := e.bursts(len(y))
	cycle := int(2 * math.Pi / c.omega)
	for i, st := range list {
		if st.from == 0 || e.width < 2*cycle {
			continue
		}
		near := stretch{max(0, st.from-2*e.width), min(st.to, st.from+2*e.width)}
		fine := follow(y[near.from:near.to], c)
		if falls := fine.falls(); len(falls) > 0 {
			list[i].from = near.from + falls[0].from*fine.hop
		}
	}
	return list
}

const (
	mostJoinRows   = 1 << 14 // rows of pieces fitted together
	mostJoinCycles = 400     // between crests: slower beats need quality factors that no coil has
	joinFailures   = 3
)

// join fits neighbouring pieces together as one ring of several tones, and
// keeps that where it explains them no worse: two tones of a coupled circuit
// swell and fade again and again, and each swell alone passes for a short
// burst. A coil that is struck or driven again does not follow on from its last
// ring. It returns the fits in order of time, and how many bursts there are.
func (a *analysis) join(p *pieces, c candidate) (out []*ring, found int) {
	failures := 0
	for i := 0; i < len(p.list); found++ {
		group, next := a.piece(p, i, c), i+1
		// Two pieces first, where they can be fitted alone; then all that may
		// belong to them, or one by one.
		for last := p.joinable(i, c); next <= last && failures < joinFailures; {
			to := next
			if next > i+1 || group == nil {
				to = last
			}
			r := a.jointly(p, i, to, group, c)
			if r == nil && to > next {
				to, last = next, next
				r = a.jointly(p, i, to, group, c)
			}
			if r == nil {
				failures++
				break
			}
			group, next = r, to+1
		}
		out = append(out, group)
		i = next
	}
	return out, found
}

// joinable returns the last piece that may belong to piece i.
func (p *pieces) joinable(i int, c candidate) int {
	cycle := 2 * math.Pi / c.omega
	k := i
	for ; k+1 < len(p.list); k++ {
		apart, rows := p.list[k+1].from-p.list[k].from, p.list[k+1].to-p.list[i].from
		if float64(apart) > mostJoinCycles*cycle || float64(rows) > mostJoinRows*math.Max(1, cycle/rowsPerCycle) {
			break
		}
	}
	return k
}

// jointly returns the fit of the pieces from i to last as one ring, or nil
// where the fits of the first, or of a group of them, and of the next leave
// clearly less in their own stretches.
func (a *analysis) jointly(p *pieces, i, last int, group *ring, c candidate) *ring {
	st := stretch{p.list[i].from, p.list[last].to}
	like := a.like
	own := []*ring{group, a.piece(p, i+1, c), p.fits[last]}
	a.like = tone{} // a swell alone seems to last too short
	defer func() { a.like = like }()
	r, err := a.decay(st, c)
	if err == nil && !a.explains(r, own) {
		// What comes before the onset, or the blow, may have misled the fit.
		st.from += int(math.Ceil(math.Pi / c.omega))
		r, err = a.decay(st, c)
	}
	if err != nil || !a.explains(r, own) {
		return nil
	}
	if r, err = a.settled(r, st, c); err != nil {
		return nil
	}
	return r
}

// explains reports whether the fit of a ring over several pieces leaves no
// clearly more than their own fits leave, or little where they have none.
func (a *analysis) explains(r *ring, own []*ring) bool {
	const worse = 1.3 // of the sum of squares; separate fits have more parameters. 1.1 changes nothing, without it bursts of two tones are fitted as one
	var one, apart float64
	for _, g := range own {
		if g == nil {
			continue
		}
		if part := (stretch{max(g.from, r.from), min(g.to, r.to)}); part.len() > 0 {
			one += a.squares(r, part)
			apart += a.squares(g, part)
		}
	}
	if apart == 0 { // too short to be fitted alone
		const unexplained = 0.03 // of the energy; without it nothing changes, but what no tone explains would be one
		whole := stretch{r.from, r.to}
		one, apart = a.squares(r, whole), unexplained*float64(r.len())*variance(a.signal.Samples[r.from:r.to])
	}
	return one <= worse*apart
}

// squares returns the sum of squared residuals of a ring's fit over the samples
// of a part, those clipped left out.
func (a *analysis) squares(r *ring, part stretch) (sum float64) {
	y := slices.Clone(a.signal.Samples[part.from:part.to])
	r.fit.add(y, part.from-r.from, -1)
	for i, v := range y {
		if !a.scan.clip.beyond(a.signal.Samples[part.from+i], 0) {
			sum += v * v
		}
	}
	return sum
}

const mostBursts = 32 // analysed; the loudest
