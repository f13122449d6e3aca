package ringing

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

// seeds is the number of captures of each scenario; docs/captures.md shows the
// table of 12.
var seeds = flag.Int("seeds", 2, "captures of each scenario")

// outcome is what became of one capture.
type outcome struct {
	refused   bool
	named     bool // a note names the cause
	zf, zq    float64
	zf2, zq2  float64 // of the second mode; NaN where it wasn't found
	kinds     []NoteKind
	refusal   string
	frequency float64
	uncertain float64 // relative standard uncertainty of the frequency
}

func try(sc scenario, seed uint64) outcome {
	rng := rand.New(rand.NewPCG(seed, 16))
	s, tr := sc.make(rng)
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
	o.frequency, o.uncertain = r.Resonance.Value, r.Resonance.Uncertainty/r.Resonance.Value
	z := func(e Estimate, want float64) float64 {
		if !e.Determined || want == 0 {
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
	answered, silent := 0, 0
	table := &strings.Builder{}
	fmt.Fprintf(table, "%-50s %8s %8s %8s %8s %8s  %s\n", "scenario", "refused", "rms z f", "rms z Q", "> 4 u", "silent", "notes")
	for _, sc := range scenarios() {
		if only := os.Getenv("RINGING_ONLY"); only != "" && !strings.Contains(sc.name, only) {
			continue
		}
		begun := time.Now()
		rows := outcomes(sc)
		took := time.Since(begun) / time.Duration(len(rows))
		var l line
		for _, o := range rows {
			l.add(sc, o)
		}
		answered += len(rows) - l.refused
		silent += l.silent
		fmt.Fprintf(table, "%-50s %8d %8s %8s %8d %8d  %s\n", sc.name, l.refused, l.f, l.q, l.beyond, l.silent, l.notes()+took.String())
		if os.Getenv("RINGING_DETAIL") == sc.name || os.Getenv("RINGING_DETAIL") == "all" {
			for i, o := range rows {
				fmt.Fprintf(table, "    %d %+v\n", i, o)
			}
		}
	}
	t.Logf("\n%s\n%d answered, %d beyond 4 u without a cause", table, answered, silent)
	if silent > answered/100 {
		t.Errorf("%d of %d answers are beyond 4 u and no note names the cause", silent, answered)
	}
}

func outcomes(sc scenario) []outcome {
	rows := make([]outcome, *seeds)
	for i := range rows {
		rows[i] = try(sc, uint64(i+1))
	}
	return rows
}

// line sums up the outcomes of a scenario.
type line struct {
	refused, beyond, silent int
	f, q                    rms
	kinds                   map[NoteKind]int
}

func (l *line) add(sc scenario, o outcome) {
	if o.refused {
		l.refused++
		return
	}
	if l.kinds == nil {
		l.kinds = map[NoteKind]int{}
	}
	for _, k := range o.kinds {
		l.kinds[k]++
	}
	l.f.add(o.zf)
	l.q.add(o.zq)
	if o.wrong(sc) {
		l.beyond++
		if !o.named {
			l.silent++
		}
	}
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
	BurstsDiffer: "bursts differ", BurstsUnused: "bursts unused", Drifting: "drifting", FewDigits: "few digits",
	NotOneSine: "not one sine", StartAndEndDiffer: "start and end differ", BurstsDisagree: "bursts disagree", Driven: "driven",
}

const lastNote = BurstsDisagree
