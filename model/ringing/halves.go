package ringing

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// differ is the z above which start and end are said to differ: by chance in
// one capture of 100 000.
const differ = 4.5 // standard uncertainties; with 3 two good captures of 37 are said to differ, with 9 nothing changes

func (h halves) moved() bool { return h.z > differ }

// halves cuts where a decay has left as much to say of frequency and damping
// to both sides, or in the middle. ok is false where a part is too short.
func (r *ring) halves() (h halves, ok bool) {
	const share = 1.2 // time constants before the cut
	const fewest = 4  // cycles in each part
	p, s := r.fit, r.fit.series
	t := p.tones[0]
	if s.im != nil {
		return h, false
	}
	n := len(s.re)
	mid := n / 2
	if t.alpha > 0 {
		mid = min(mid, int(share/(t.alpha*s.spacing())))
	}
	perCycle := 2 * math.Pi / (t.omega * s.spacing())
	if float64(min(mid, n-mid)) < fewest*math.Max(perCycle, fewestInWindow) {
		return h, false
	}
	near, y := r.nearest()
	var fits [2]*ring
	for i, part := range []stretch{{0, mid}, {mid, n}} {
		sub := *s
		sub.re = y[part.from:part.to]
		if s.skip != nil {
			sub.skip = s.skip[part.from:part.to]
		}
		if sub.used() < fewestSamples+6*len(near) {
			return h, false
		}
		fit := sub.solve(near)
		if fit == nil || !fit.resolved() {
			return h, false
		}
		fits[i] = &ring{fit: fit}
		if fits[i].settle() != nil {
			return h, false
		}
	}
	h = halves{start: fits[0].fit.tones[0], end: fits[1].fit.tones[0], mid: mid * s.block}
	const trifling = 1e-6 // of the frequency: what rounding and a model's curvature leave
	for i, d := range []float64{h.end.omega - h.start.omega, h.end.alpha - h.start.alpha} {
		u := math.Sqrt(fits[0].cov[i][i] + fits[1].cov[i][i])
		h.z = math.Max(h.z, math.Abs(d)/math.Hypot(u, trifling*t.omega))
	}
	return h, true
}

// nearest returns the strongest tone with those so near that they have to be
// fitted with it, and the rows without the others.
func (r *ring) nearest() (near []tone, y []float64) {
	p := r.fit
	t := p.tones[0]
	near = []tone{t}
	far := slices.Clone(p.coef)
	far[0], far[1] = 0, 0
	for i := 2 * len(p.tones); i < len(far); i++ {
		far[i] = 0
	}
	for k, o := range p.tones[1:] {
		if math.Abs(o.omega-t.omega) < nearTone*t.omega {
			near = append(near, o)
			far[2*k+2], far[2*k+3] = 0, 0
		}
	}
	y = p.observed
	if slices.ContainsFunc(far, func(c float64) bool { return c != 0 }) {
		y = slices.Clone(y)
		for i, col := range p.columns() {
			floats.AddScaled(y, -far[i], col)
		}
	}
	return near, y
}

// spread puts half of what start and end differ by into the covariance, as a
// standard uncertainty that no noise accounts for.
func (r *ring) spread(h halves) {
	for i, d := range []float64{h.end.omega - h.start.omega, h.end.alpha - h.start.alpha} {
		r.cov[i][i] += d * d / 4
	}
}

// excess returns by how much the residuals are larger where the ring is loud
// than where it is not, as a ratio of root mean squares: behind the ring, before
// it, or behind three time constants, where the least is left; 1 where there is
// no such place, or where chance would do it.
func (a *analysis) excess(r *ring, st stretch) float64 {
	const odds = 1e-5
	const trifling = 1e-5 // of the amplitude
	p, s := r.fit, r.fit.series
	t := p.tones[0]
	if t.alpha <= 0 || s.im != nil || s.skip != nil {
		return 1
	}
	perCycle := 2 * math.Pi / (t.omega * s.spacing())
	early := min(len(s.re), max(int(1/(t.alpha*s.spacing())), int(perCycle)+1))
	here := meanSquare(s, p.residual, 0, early)
	least := math.Max(math.Pow(trifling*p.size(0), 2), math.Pow(a.scan.step, 2)/12/float64(s.block))
	there, share, rows := math.Inf(1), 1.0, 0
	for _, rest := range a.quietParts(r, st, early) {
		square := floats.Dot(rest, rest) / float64(len(rest))
		if square = math.Max(square, least); square < there {
			there, rows = square, len(rest)
			share = colourOf(&series{block: s.block, sampling: s.sampling, re: rest}, rest, 0).independence()
		}
	}
	f := distuv.F{D1: math.Max(1, share*float64(early)), D2: math.Max(1, share*float64(rows))}
	if !(here > there) || f.Survival(here/there) > odds {
		return 1
	}
	return math.Sqrt(here / there)
}

// quietParts returns rows without the ring, the straight line through them
// taken off.
func (a *analysis) quietParts(r *ring, st stretch, early int) (list [][]float64) {
	const fewest = 64 // rows
	const quiet = 3   // time constants
	p, s := r.fit, r.fit.series
	t := p.tones[0]
	enough := max(fewest, int(3*2*math.Pi/(t.omega*s.spacing())))
	most := mostRows * s.block
	for _, part := range []stretch{{r.to, min(st.to, r.to+most)}, {max(r.before.from, r.before.to-most), r.before.to}} {
		if part.len() >= enough*s.block {
			y := slices.Clone(averaged(a.signal.Samples[part.from:part.to], s.block))
			detrend(y)
			list = append(list, y)
		}
	}
	if late := int(quiet / (t.alpha * s.spacing())); len(s.re)-late >= enough && late > early {
		list = append(list, p.residual[late:])
	}
	return list
}
