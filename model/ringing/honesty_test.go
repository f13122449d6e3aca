package ringing

import (
	"flag"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitcoil/model/quantities"
)

// seeds is the number of captures of each scenario; docs/captures.md shows the
// table of 12.
var seeds = flag.Int("seeds", 1, "captures of each scenario")

// outcome is what became of one capture.
type outcome struct {
	refused   bool
	named     bool // a note names the cause
	unclaimed bool // there is no ±
	zf, zq    float64
	zf2, zq2  float64 // of the second mode; NaN where it wasn't found
	kinds     []NoteKind
	refusal   string
	frequency float64
	uncertain float64 // relative standard uncertainty of the frequency
}

// random makes the numbers of a scenario's own: scenarios that share theirs would
// be too good together.
func (s scenario) random(seed uint64) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(s.name))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

func try(sc scenario, seed uint64) outcome {
	s, tr := sc.make(sc.random(seed))
	o := outcome{zf: math.NaN(), zq: math.NaN(), zf2: math.NaN(), zq2: math.NaN()}
	r, err := Analyse(s, Settings{Columns: 1})
	if err != nil {
		o.refused, o.refusal = true, err.Error()
		return o
	}
	for _, n := range r.Notes {
		o.kinds = append(o.kinds, n.Kind)
		o.named = o.named || slices.Contains(sc.causes, n.Kind)
	}
	o.unclaimed = r.Unclaimed
	o.frequency, o.uncertain = r.Resonance.Value, r.Resonance.Uncertainty/r.Resonance.Value
	z := func(e quantities.Estimate, want float64) float64 {
		if !e.Determined || e.Unclaimed || want == 0 {
			return math.NaN()
		}
		return (e.Value - want) / e.Uncertainty
	}
	f, q, f2, q2 := tr.f, tr.q, tr.f2, tr.q2
	if f2 > 0 && math.Abs(r.Resonance.Value-f2) < math.Abs(r.Resonance.Value-f) {
		f, q, f2, q2 = f2, q2, f, q // the stronger one by energy
	}
	o.zf, o.zq = z(r.Resonance, f), z(r.Quality, q)
	for _, t := range r.Tones[1:] {
		if f2 > 0 && !(math.Abs(t.Natural.Value-f2) > math.Abs(o.zf2)*t.Natural.Uncertainty) || math.IsNaN(o.zf2) {
			o.zf2, o.zq2 = z(t.Natural, f2), z(t.Quality, q2)
		}
	}
	return o
}

// wrong tells that an answer is beyond 4 u in frequency or quality factor.
func (o outcome) wrong(sc scenario) bool {
	if o.refused {
		return false
	}
	return sc.refuse || math.Abs(o.zf) > 4 || math.Abs(o.zq) > 4
}

// TestHonesty analyses every scenario with several seeds: answers lie within
// their uncertainties, or a note names the cause.
func TestHonesty(t *testing.T) {
	list := scenarios()
	if *seeds < many { // those that take long
		list = slices.DeleteFunc(list, func(s scenario) bool { return s.slow })
	}
	rows := make([]line, len(list))
	var running sync.WaitGroup
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, sc := range list {
		running.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			for seed := range *seeds {
				rows[i].add(sc, try(sc, uint64(seed+1)))
			}
		})
	}
	running.Wait()
	table := &strings.Builder{}
	fmt.Fprintf(table, "%-50s %7s %7s %7s %6s %6s  %s\n", "scenario", "refused", "rms z f", "rms z Q", "> 4 u", "silent", "notes")
	var all line
	for i, l := range rows {
		fmt.Fprintf(table, "%-50s %7d %7s %7s %6d %6d  %s\n", list[i].name, l.refused, l.f, l.q, l.beyond, l.silent, l.notes())
		all.merge(l)
	}
	t.Logf("\n%s\n%d captures, %d refused, %d answered, %d of them without ±; rms z of those without a cause named: f %s, Q %s\n%d beyond 4 u, %d without a cause named\nnotes where their cause is not: %s",
		table, len(list)**seeds, all.refused, all.answered, all.unclaimed, all.f, all.q, all.beyond, all.silent, all.falseAlarms())
	if all.silent > all.answered/100 {
		t.Errorf("%d of %d answers are beyond 4 u and no note names the cause", all.silent, all.answered)
	}
	if all.f.value() > 1.3 || all.q.value() > 1.3 {
		t.Errorf("rms z of f %s, of Q %s", all.f, all.q)
	}
}

// many is the number of seeds from which on all is tried.
const many = 4

// line sums up the outcomes of a scenario. The z are of answers for which no
// note names a cause to doubt them.
type line struct {
	refused, answered, unclaimed, beyond, silent int
	f, q                                         rms
	kinds, false                                 map[NoteKind]int
}

func (l *line) add(sc scenario, o outcome) {
	if o.refused {
		l.refused++
		return
	}
	if l.kinds == nil {
		l.kinds, l.false = map[NoteKind]int{}, map[NoteKind]int{}
	}
	l.answered++
	if o.unclaimed {
		l.unclaimed++
	}
	for _, k := range o.kinds {
		l.kinds[k]++
		if slices.Contains(doubts, k) && !slices.Contains(sc.causes, k) {
			l.false[k]++
		}
	}
	if !o.named || !o.wrong(sc) {
		l.f.add(o.zf)
		l.q.add(o.zq)
	}
	if o.wrong(sc) {
		l.beyond++
		if !o.named {
			l.silent++
		}
	}
}

func (l *line) merge(o line) {
	if l.kinds == nil {
		l.kinds, l.false = map[NoteKind]int{}, map[NoteKind]int{}
	}
	l.refused, l.answered, l.beyond, l.silent = l.refused+o.refused, l.answered+o.answered, l.beyond+o.beyond, l.silent+o.silent
	l.unclaimed += o.unclaimed
	l.f.squares, l.f.n = l.f.squares+o.f.squares, l.f.n+o.f.n
	l.q.squares, l.q.n = l.q.squares+o.q.squares, l.q.n+o.q.n
	for k, n := range o.kinds {
		l.kinds[k] += n
	}
	for k, n := range o.false {
		l.false[k] += n
	}
}

// doubts are the notes that make an answer doubtful, and so must not come where
// all is well.
var doubts = []NoteKind{Beating, MayBeAliased, Misfit, Growing, BurstsDiffer, NotOneSine, StartAndEndDiffer, BurstsDisagree}

// falseAlarms says how often a doubt came where its cause is not.
func (l *line) falseAlarms() string {
	return (&line{kinds: l.false}).notes() + fmt.Sprintf(" of %d", l.answered)
}

func (l *line) notes() string {
	var list []string
	for k := NoteKind(0); k <= lastNote; k++ {
		if n := l.kinds[k]; n > 0 {
			list = append(list, fmt.Sprintf("%s %d", noteNames[k], n))
		}
	}
	return strings.Join(list, ", ")
}

// rms is the root mean square of numbers.
type rms struct {
	squares float64
	n       int
}

func (r *rms) add(z float64) {
	if !math.IsNaN(z) {
		r.squares += z * z
		r.n++
	}
}

func (r rms) value() float64 { return math.Sqrt(r.squares / float64(r.n)) }

func (r rms) String() string {
	if r.n == 0 {
		return "-"
	}
	return fmt.Sprintf("%.2f", r.value())
}

var noteNames = map[NoteKind]string{
	Beating: "beating", MayBeAliased: "may be aliased", FoldedHarmonic: "folded harmonic", Clipped: "clipped",
	FirstSkipped: "first skipped", Misfit: "misfit", Coloured: "coloured", FewSteps: "few steps", Growing: "growing",
	BurstsDiffer: "bursts differ", Drifting: "drifting", FewDigits: "few digits",
	NotOneSine: "not one sine", StartAndEndDiffer: "start and end differ", BurstsDisagree: "bursts disagree", Driven: "driven",
}

const lastNote = BurstsDisagree
