package readings

import (
	"math"
	"slices"
)

// Pool gathers the readings of a long log by state, in memory that grows with
// the number of states and hardly with that of readings. The zero value is
// empty.
//
// Least squares sees no difference: Σ(fᵢ − f)²/uᵢ² over readings of one state is
// that of their weighted mean, and a constant. What differs is that the scatter
// within a state, and the model's failing between states, are told apart: a
// million readings prove a model no better than the states they were taken in.
//
// A Robust pool keeps a few numbers of each reading, for means that misread ones don't
// move (see sample).
type Pool struct {
	Robust bool
	groups []*group
	at     map[poolKey][]int // indexes of the groups that may be meant
}

type poolKey struct {
	StateKey
	exact float64
	use   bool
}

// Add takes one reading in that was taken at a moment (see Log.Moments).
func (p *Pool) Add(r Reading, moment float64) {
	key := poolKey{r.Key(), r.Exact, r.Use}
	for _, k := range p.at[key] {
		if g := p.groups[k]; Same(&g.State, &r.State) {
			g.add(&r)
			g.moment.add(moment)
			return
		}
	}
	if p.at == nil {
		p.at = map[poolKey][]int{}
	}
	p.at[key] = append(p.at[key], len(p.groups))
	g := &group{Reading: r, lowest: Extreme{r.Line, r.Frequency}, highest: Extreme{r.Line, r.Frequency}}
	if p.Robust {
		g.sample = &sample{}
	}
	g.add(&r)
	g.moment.add(moment)
	p.groups = append(p.groups, g)
}

// Readings returns the mean of each state as a reading of its own, in the order
// in which the states came first; a state read once is that reading.
func (p *Pool) Readings() []Reading {
	out := make([]Reading, len(p.groups))
	for i, g := range p.groups {
		out[i] = g.mean()
	}
	return out
}

// Moments returns when those of Readings were taken, on average.
func (p *Pool) Moments() []float64 {
	out := make([]float64, len(p.groups))
	for i, g := range p.groups {
		out[i] = g.moment.value()
	}
	return out
}

// group is the readings of one state, with d the frequencies less the first and
// w the weights 1/u² in units of the first's.
type group struct {
	Reading
	n               int
	w, wd           float64
	stated          float64 // Σw over readings with a stated uncertainty
	digits          float64 // Σwu over those with one from digits
	last            int
	lowest, highest Extreme
	amplitude       mean
	moment          mean
	quality         mean
	blocks          []blocks
	sample          *sample // of a robust pool
}

// mean is that of what was recorded with some readings.
type mean struct{ sum, n float64 }

// recordedValue tells whether v was recorded.
func recordedValue(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (m *mean) add(v float64) {
	if recordedValue(v) {
		m.sum += v
		m.n++
	}
}

func (m *mean) value() float64 { return m.sum / m.n } // NaN for none

func (g *group) add(r *Reading) {
	d, w := r.Frequency-g.Frequency, g.Uncertainty/r.Uncertainty
	w = math.Min(math.Max(w*w, 1e-50), 1e50) // sums of squares stay within floating point
	g.n++
	g.w += w
	g.wd += w * d
	if r.FromDigits {
		g.digits += w * r.Uncertainty
	} else {
		g.stated += w
	}
	g.last = r.Line
	if r.Frequency < g.lowest.Frequency {
		g.lowest = Extreme{r.Line, r.Frequency}
	}
	if r.Frequency > g.highest.Frequency {
		g.highest = Extreme{r.Line, r.Frequency}
	}
	g.amplitude.add(r.Amplitude)
	g.quality.add(r.Quality)
	if r.Note != g.Note {
		g.Note = ""
	}
	if g.sample == nil {
		g.block(0, w, w*d)
		return
	}
	g.sample.d, g.sample.root = append(g.sample.d, d), append(g.sample.root, math.Sqrt(w))
}

// block takes a block of 2ᵏ readings of weight w and sum wd in.
func (g *group) block(k int, w, wd float64) {
	for ; ; k++ {
		if k == len(g.blocks) {
			g.blocks = append(g.blocks, blocks{})
		}
		b := &g.blocks[k]
		b.n++
		b.w += w
		b.ww += w * w
		b.wwd += w * wd
		b.sum += wd * wd
		if !b.waits {
			b.half, b.halfD, b.waits = w, wd, true
			return
		}
		w, wd = w+b.half, wd+b.halfD
		b.waits = false
	}
}

// scatter judges the scatter about the mean. Blocks count where they say clearly
// more than single readings do; three standard deviations of such a variance.
func (g *group) scatter(mean float64) (s scatter) {
	single := g.blocks[0].variance(mean)
	most, before, last := single, single, single
	var count float64
	for k := 1; k < len(g.blocks) && g.blocks[k].n >= FewestBlocks; k++ {
		b := &g.blocks[k]
		v := b.variance(mean)
		if v > most && v > single*(1+3*math.Sqrt(2/(b.n-1))) {
			most = v
		}
		before, last, count = last, v, b.n
	}
	if most > single && last > stillGrowing*before {
		s.wanders = true
		most = last * count
	}
	s.single = math.Sqrt(single * float64(g.n))
	s.mean = math.Sqrt(most)
	s.slow = 1
	if single > 0 {
		s.slow = math.Sqrt(most / single)
	}
	return s
}

// mean returns the weighted mean of a group. Its standard uncertainty is that
// which its readings state, as if each erred by itself, or that of their scatter
// where it is more (JCGM 100:2008, 4.2.3). Rounding to the last digit errs alike
// in all of them, and doesn't average out (ibid., F.2.2.1).
func (g *group) mean() Reading {
	r := g.Reading
	if g.n == 1 {
		return r
	}
	if s := g.sample; s != nil {
		s.pseudo(g.Uncertainty)
		g.wd, g.blocks = 0, nil
		for i, d := range s.d {
			w := s.root[i] * s.root[i]
			g.wd += w * d
			g.block(0, w, w*d)
		}
	}
	shift := g.wd / g.w
	r.Frequency += shift
	scatter := g.scatter(shift)
	stated := r.Uncertainty * math.Sqrt(g.stated) / g.w
	r.Uncertainty = math.Hypot(math.Max(stated, scatter.mean), g.digits/g.w)
	r.FromDigits = g.stated == 0
	r.Amplitude, r.Quality = g.amplitude.value(), g.quality.value()
	r.Repeats = &Repeats{
		Count: g.n, Last: g.last, Deviation: scatter.single, Slow: scatter.slow, Wanders: scatter.wanders,
		Lowest: g.lowest, Highest: g.highest,
	}
	return r
}

// blocks sums over the means of all blocks of 2ᵏ readings that follow one
// another: the variance of a mean is judged by longer and longer blocks, until
// these no longer know of each other (H. Flyvbjerg and H. G. Petersen, J. Chem.
// Phys. 91, 1989, 461–466, from memory). A counter left running drifts, so that a
// million readings are not a million proofs.
type blocks struct {
	n            float64
	w            float64 // Σw of all blocks
	ww, wwd, sum float64 // Σw², Σw²d, Σw²d²: a block weighs the sum of its readings' weights
	half, halfD  float64 // a block that waits for the next
	waits        bool
}

// variance returns that of the mean, Σw²(d − mean)²/(Σw)² · n/(n−1): the usual
// one for equal weights.
func (b *blocks) variance(mean float64) float64 {
	square := b.sum - 2*mean*b.wwd + mean*mean*b.ww
	return math.Max(0, square) / (b.w * b.w) * b.n / (b.n - 1)
}

// scatter is what the scatter of a group says.
type scatter struct {
	single  float64 // standard deviation of one reading [Hz]
	mean    float64 // standard uncertainty of the mean [Hz]
	slow    float64 // the same over that of readings that vary by themselves
	wanders bool
}

const (
	FewestBlocks = 32  // that tell a variance within a quarter
	stillGrowing = 1.5 // of the variance with blocks twice as long: it doubles where nothing averages out, and stays where all does
)

// Huber is the corner of the robust loss, in standard uncertainties: for normal
// errors it keeps 95 % of the efficiency of least squares (Huber, Robust
// Statistics, 1981, § 4.5, with the usual 1.345 from memory).
const Huber = 1.345

// sample keeps the readings of a group for a robust mean: d, the frequencies less the
// first, and the root of the weight of each.
type sample struct{ d, root []float64 }

// normalMAD is what the median of the absolute deviations is multiplied by to be the
// standard deviation of normal ones: 1/Φ⁻¹(¾) (P. J. Huber, Robust Statistics, 1981,
// § 5.1, from memory).
const normalMAD = 1.482602218505602

// leastSample is how many readings tell misread ones among them: of fewer, the mean
// counts, and Huber's loss in the fit bounds what it can do.
const leastSample = 8

// pseudo puts pseudo-values in the place of the d of a group: m + s·ψ(z)/a, z = (d − m)/s,
// where m is Huber's estimate of location, s the uncertainty of each reading or what their
// median deviation makes of it, if that is more, and a the mean of ψ'. Their weighted
// mean is m, and its variance by their scatter is that of the estimate (ibid., ch. 7, from
// memory), so that all that is done with readings can be done with them.
func (s *sample) pseudo(uncertainty float64) {
	if len(s.d) < leastSample {
		return
	}
	unit := func(i int) float64 { return uncertainty / s.root[i] }
	m := middle(slices.Clone(s.d))
	deviations := make([]float64, len(s.d))
	for i, d := range s.d {
		deviations[i] = math.Abs(d-m) / unit(i)
	}
	scale := math.Max(1, normalMAD*middle(deviations))
	var inside float64
	for range 50 {
		var pull, slope, all float64
		for i, d := range s.d {
			w := s.root[i] * s.root[i]
			z := (d - m) / (scale * unit(i))
			all += w
			if math.Abs(z) <= Huber {
				slope += w
			}
			pull += w * scale * unit(i) * clip(z)
		}
		inside = slope / all
		if slope == 0 {
			return
		}
		step := pull / slope
		if m += step; math.Abs(step) <= 1e-9*uncertainty {
			break
		}
	}
	for i, d := range s.d {
		u := scale * unit(i)
		s.d[i] = m + u*clip((d-m)/u)/inside
	}
}

// clip is Huber's ψ.
func clip(z float64) float64 { return math.Min(math.Max(z, -Huber), Huber) }

// middle orders the values and returns their median.
func middle(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
